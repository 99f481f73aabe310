import { useState } from 'preact/hooks';

interface Draft {
  text: string; meant: number;
  /** Numbers of the plan on which the words stand: what they mean and, until the plan holds that, what it held as they were typed. */
  on: readonly number[];
}

/**
 * The words being typed into an entry: they stand as typed for as long as the plan holds the number they stand for, so
 * that an undo or a drag elsewhere shows through. Some numbers reach the plan only after a worker was asked; until then
 * the words stand, too, whatever is typed on meanwhile.
 */
export function useDraft(now: number): [string | null, (text: string | null, meant?: number) => void] {
  const [draft, setDraft] = useState<Draft | null>(null);
  if (draft?.meant === now) draft.on = [now];
  const stands = draft?.on.includes(now) ? draft : null;
  const set = (text: string | null, meant = now): void => setDraft(text === null ? null : { text, meant, on: [...stands?.on ?? [], now, meant] });
  return [stands?.text ?? null, set];
}
