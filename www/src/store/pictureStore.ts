import { signal } from '@preact/signals';
import { openDB, type IDBPDatabase } from 'idb';
import { hasFiles, withBytes, withFiles } from './keptFiles.ts';

/**
 * The browser's larger store (IndexedDB): pictures, the plans on the shelf, and the records of plates. Whatever comes
 * out of it is checked like a stranger's file, since pages opened from disk share one store.
 */

/** A picture as it is kept: lightness, a byte a pixel; with its file where that is finer. */
export interface KeptPicture {
  id: string; name: string; width: number; height: number; lightness: Uint8Array<ArrayBuffer>;
  file?: Blob; file_px?: [width: number, height: number];
}

/** Before the name of a picture of lines, which is what such a picture is kept under. */
export const LINES = 'lines:';

const VERSION = 1;

/** A store that has not answered by then is gone on without, ms. */
const MOST_MS = 4000;
/** The same where it has pictures to write: a slow disk takes its time over tens of megabytes. */
const MOST_PUT_MS = 20_000;

/** The store has not answered in time. What was asked of it is done all the same should it wake. */
export class StoreSilent extends Error {}

/** Stores that gave no answer in time. Whoever asks one of them next is refused at once, until it wakes. */
const mute = new Set<string>();
/** Whether any does not answer. */
export const silent = signal(false);

function setMute(name: string, is: boolean): void {
  if (is) mute.add(name);
  else mute.delete(name);
  silent.value = mute.size > 0;
}

/** What is kept, under its id; unchecked, so no more is known of it. */
interface Vault<Store extends string> {
  put: (store: Store, what: { id: string }) => Promise<unknown>;
  drop: (store: Store, id: string) => Promise<unknown>;
  all: (store: Store) => Promise<unknown[]>;
  keys: (store: Store) => Promise<unknown[]>;
  one: (store: Store, id: string) => Promise<unknown>;
  /** Puts what `next` makes of what is there, or takes it away; no other tab comes between. */
  change: (store: Store, id: string, next: (found: unknown) => { id: string } | null) => Promise<void>;
}

function vaultOf<Store extends string>(name: string, stores: readonly Store[]): Vault<Store> {
  let opened: Promise<IDBPDatabase> | null = null;

  function open(): Promise<IDBPDatabase> {
    opened ??= new Promise<IDBPDatabase>((resolve, reject) => {
      openDB(name, VERSION, {
        upgrade: (database) => {
          for (const store of stores) database.createObjectStore(store, { keyPath: 'id' });
        },
        blocked: () => reject(new Error('the store is held by an older page')),
        // Another tab with a newer page wants to change the store: let it.
        blocking: (_, __, { target }) => { (target as IDBDatabase).close(); opened = null; },
        terminated: () => { opened = null; },
      }).then(resolve, reject);
    }).catch((error: unknown) => {
      opened = null;
      throw error;
    });
    return opened;
  }

  /** What the store answers, if it does so in time. One that answers late is awake again, and has done what it was asked. */
  function inTime<T>(work: (database: IDBPDatabase) => Promise<T>, most_ms = MOST_MS): Promise<T> {
    return new Promise((resolve, reject) => {
      const refuse = (): void => reject(new StoreSilent('the store does not answer'));
      const timer = setTimeout(() => { setMute(name, true); refuse(); }, most_ms);
      if (mute.has(name)) refuse();
      open().then(work).finally(() => { clearTimeout(timer); setMute(name, false); }).then(resolve, reject);
    });
  }

  return {
    put: (store, what) => inTime((database) => database.put(store, what).catch(async (error: unknown) => {
      if (!hasFiles(what)) throw error;
      return database.put(store, await withBytes(what));
    }), MOST_PUT_MS),
    drop: (store, id) => inTime((database) => database.delete(store, id), MOST_PUT_MS),
    all: (store) => inTime(async (database) => (await database.getAll(store)).map(withFiles)),
    keys: (store) => inTime((database) => database.getAllKeys(store)),
    one: (store, id) => inTime(async (database) => withFiles(await database.get(store, id))),
    change: (store, id, next) => inTime(async (database) => {
      const within = database.transaction(store, 'readwrite');
      const put = next(await within.store.get(id));
      await (put ? within.store.put(put) : within.store.delete(id));
      await within.done;
    }, MOST_PUT_MS),
  };
}

export const vault = vaultOf('platewright', ['pictures', 'shelf']);
/** By itself, so that an older page beside this one still opens its shelf, and tidies no photograph away. */
export const recordVault = vaultOf('platewright.records', ['records', 'photographs']);
/** The copy of the small store. */
export const smallVault = vaultOf('platewright.small', ['kept']);

/** Most pixels of a kept picture: no more are ever read of a whole one (`MOST_SIDE` in Rust). */
export const MOST_PIXELS = 2400 * 2400;
/** Longest side of a picture that a plan can name, pixels. */
const LONGEST_PX = 1e6;

/** What was kept as a picture, or null if it is none. */
export function asPicture(kept: unknown): KeptPicture | null {
  if (typeof kept !== 'object' || kept === null) return null;
  const { id, name, width, height, lightness, file, file_px } = kept as Record<string, unknown>;
  if (typeof id !== 'string' || typeof name !== 'string' || !(lightness instanceof Uint8Array)) return null;
  if (!Number.isInteger(width) || !Number.isInteger(height)) return null;
  const [w, h] = [Number(width), Number(height)];
  if (w < 1 || h < 1 || w * h > MOST_PIXELS || lightness.length !== w * h) return null;
  const size = Array.isArray(file_px) && file_px.length === 2 && file_px.every((side) => Number.isInteger(side) && side >= 1 && side <= LONGEST_PX)
    ? file_px as [number, number] : null;
  return {
    id, name: name.slice(0, 255), width: w, height: h, lightness: new Uint8Array(lightness),
    ...(file instanceof Blob && size && { file, file_px: size }),
  };
}

/** A new name for something kept. */
export function newId(): string {
  return Array.from(crypto.getRandomValues(new Uint8Array(9)), (byte) => byte.toString(36).padStart(2, '0')).join('');
}
