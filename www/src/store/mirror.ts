import { smallVault } from './pictureStore.ts';

/*
 * A second copy, in IndexedDB, of what the page keeps in `localStorage`: opened from disk, a page of Chromium may find the
 * small store empty, or as it was a while ago (seen in version 156 at up to a third of the reloads; some of it never came back).
 * Every write is counted by the time it was made at; a page that opens on an older count here than there takes the copy.
 */

const OURS = 'platewright.';
/** When the small store was written last, ms since 1970: in both. */
const WRITTEN = `${OURS}written-at`;
/** How long the start waits for the larger store, ms. */
const PATIENCE_MS = 1500;

const count = (text: unknown): number => (typeof text === 'string' && Number.isFinite(Number(text)) ? Number(text) : 0);

function here(): number {
  try {
    return count(localStorage.getItem(WRITTEN));
  } catch {
    return 0;
  }
}

/** The count that this page opened on, before it wrote anything itself. */
const opened = here();
/** Not yet in the copy; undefined is to be removed there. */
const waiting = new Map<string, string | undefined>();
let compared = false;
let copying = false;

/** Has what was just written to the small store, or removed from it, written to the copy, too. */
export function mirror(key: string, text: string | undefined): void {
  const at = String(Math.max(Date.now(), here() + 1));
  try {
    localStorage.setItem(WRITTEN, at);
  } catch {
    // Full: the copy is then the newer one, and right to be.
  }
  waiting.set(key, text);
  // Last, whatever was written before it.
  waiting.delete(WRITTEN);
  waiting.set(WRITTEN, at);
  void copy();
}

async function copy(): Promise<void> {
  if (!compared || copying) return;
  copying = true;
  try {
    for (const [id, text] of waiting) {
      waiting.delete(id);
      const kept = { id, text };
      await (text === undefined ? smallVault.drop('kept', id) : smallVault.put('kept', kept));
    }
  } catch {
    // Without the larger store there is only the small one, as there was before.
    waiting.clear();
  } finally {
    copying = false;
  }
}

/** Once, as the page opens: brings back what the small store has forgotten; whether there was anything. */
export async function recall(): Promise<boolean> {
  const late = new Promise<null>((resolve) => { setTimeout(resolve, PATIENCE_MS, null); });
  try {
    const copies = await Promise.race([smallVault.all('kept'), late]);
    if (copies === null) return false;
    const texts = new Map<string, string>();
    for (const one of copies) {
      const { id, text } = one as Record<string, unknown>;
      if (typeof id === 'string' && id.startsWith(OURS) && typeof text === 'string') texts.set(id, text);
    }
    const forgotten = count(texts.get(WRITTEN)) > opened;
    if (forgotten) {
      waiting.clear();
      for (const [key, text] of texts) localStorage.setItem(key, text);
    } else {
      // What an older page has written, or one that ended before it could copy.
      for (const key of Object.keys(localStorage)) {
        const text = localStorage.getItem(key);
        if (key.startsWith(OURS) && text !== null && text !== texts.get(key)) waiting.set(key, text);
      }
    }
    return forgotten;
  } catch {
    return false;
  } finally {
    compared = true;
    void copy();
  }
}
