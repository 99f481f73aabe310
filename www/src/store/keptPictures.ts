import { asPicture, vault, type KeptPicture } from './pictureStore.ts';
import { notKept } from './storeFull.ts';

/** Ids of the pictures that this tab has stored. */
const stored = new Set<string>();

/** A stored picture, or null if it is missing. */
export async function keptPicture(which: string | null): Promise<KeptPicture | null> {
  if (which === null) return null;
  try {
    return asPicture(await vault.one('pictures', which));
  } catch {
    return null;
  }
}

/** Stores a picture. */
export async function keepPicture(kept: KeptPicture): Promise<void> {
  if (stored.has(kept.id)) return;
  stored.add(kept.id);
  const { file, ...without } = kept;
  try {
    await vault.put('pictures', kept).catch((error: unknown) => {
      if (!file) throw error;
      // A store too small for the file keeps what the page itself works with.
      return vault.put('pictures', without);
    });
  } catch {
    stored.delete(kept.id);
    notKept('the picture');
  }
}
