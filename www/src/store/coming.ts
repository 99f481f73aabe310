import { COMING, draftId, keepNow } from './autosave.ts';
import { vault } from './pictureStore.ts';

/*
 * A picture file that has come and has not been read yet. It takes a second or more until the plan has it: meanwhile it
 * stands in the store as it came, so that neither a reload nor a browser that breaks down over it loses it.
 */

/** `tries`: how often a page has begun to read it before. */
interface Coming { id: string; file: File; tries: number }

let last = 0;

/** Keeps a file until it is read; gives what is to be called then. */
export function hold(file: File, tries = 0): () => void {
  const mine = ++last;
  // The draft says next time under which name to look.
  keepNow();
  const id = COMING + draftId();
  void vault.put('pictures', { id, file, tries } satisfies Coming as { id: string }).catch(() => undefined);
  return () => {
    if (mine === last) void vault.drop('pictures', id).catch(() => undefined);
  };
}

/** The file that a page of this draft was reading as it was closed, or null. */
export async function cameBefore(): Promise<{ file: File; tries: number } | null> {
  const id = COMING + draftId();
  const found = await vault.one('pictures', id).catch(() => null);
  if (typeof found !== 'object' || found === null) return null;
  // Taken out first: a file that the browser breaks down over is not tried for ever.
  await vault.drop('pictures', id).catch(() => undefined);
  const { file, tries } = found as Record<string, unknown>;
  return file instanceof File ? { file, tries: typeof tries === 'number' ? tries : 0 } : null;
}
