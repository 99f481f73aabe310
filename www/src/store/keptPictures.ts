import { asPicture, vault, type KeptPicture } from './pictureStore.ts';
import { pictureNotKept } from './storeFull.ts';

/** Pictures that this tab has stored, or is storing, by their ids. */
const stored = new Map<string, Promise<boolean>>();

/** A stored picture, or null if it is missing. */
export async function keptPicture(which: string | null): Promise<KeptPicture | null> {
  if (which === null) return null;
  try {
    return asPicture(await vault.one('pictures', which));
  } catch {
    return null;
  }
}

/** Stores a picture; whether it is in the store then. */
export async function keepPicture(kept: KeptPicture): Promise<boolean> {
  const before = stored.get(kept.id);
  // Another tab tidies away what no draft names: a picture that undo brings back may be gone.
  if (before && await before && (await vault.keys('pictures').catch(() => [kept.id])).includes(kept.id)) return true;
  const storing = store(kept);
  stored.set(kept.id, storing);
  return storing;
}

async function store(kept: KeptPicture): Promise<boolean> {
  const { file, ...without } = kept;
  try {
    await vault.put('pictures', kept).catch((error: unknown) => {
      if (!file) throw error;
      // A store too small for the file keeps what the page itself works with.
      return vault.put('pictures', without);
    });
    return true;
  } catch {
    pictureNotKept(kept.id);
    return false;
  }
}
