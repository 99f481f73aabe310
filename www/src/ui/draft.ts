import { useState } from 'preact/hooks';

/**
 * The words being typed into an entry: they stand as typed for as long as the plan holds the number
 * they stand for, so that an undo or a drag elsewhere shows through.
 */
export function useDraft(now: number): [string | null, (text: string | null, meant?: number) => void] {
  const [draft, setDraft] = useState<{ text: string; meant: number } | null>(null);
  const set = (text: string | null, meant = now): void => setDraft(text === null ? null : { text, meant });
  return [draft && draft.meant === now ? draft.text : null, set];
}
