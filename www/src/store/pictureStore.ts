/**
 * The browser's larger store (IndexedDB): pictures, and the plans on the shelf. Whatever comes out of it is
 * checked like a stranger's file, since pages opened from disk share one store.
 */

/** A picture as it is kept: lightness, a byte a pixel; with its file where that is finer. */
export interface KeptPicture {
  id: string; name: string; width: number; height: number; lightness: Uint8Array<ArrayBuffer>;
  file?: Blob; file_px?: [width: number, height: number];
}

/** Before the name of a picture of lines, which is what such a picture is kept under. */
export const LINES = 'lines:';

type Store = 'pictures' | 'shelf';

const NAME = 'platewright';
const VERSION = 1;

let opened: Promise<IDBDatabase> | null = null;

function settled<T>(request: IDBRequest<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error ?? new Error('the store refused'));
  });
}

function open(): Promise<IDBDatabase> {
  opened ??= new Promise<IDBDatabase>((resolve, reject) => {
    const request = indexedDB.open(NAME, VERSION);
    request.onupgradeneeded = () => {
      for (const store of ['pictures', 'shelf'] satisfies Store[]) request.result.createObjectStore(store, { keyPath: 'id' });
    };
    request.onblocked = () => reject(new Error('the store is held by an older page'));
    settled(request).then((database) => {
      // Another tab with a newer page wants to change the store: let it.
      database.onversionchange = () => { database.close(); opened = null; };
      resolve(database);
    }, reject);
  }).catch((error: unknown) => {
    opened = null;
    throw error;
  });
  return opened;
}

async function within<T>(store: Store, mode: IDBTransactionMode, work: (on: IDBObjectStore) => IDBRequest<T>): Promise<T> {
  const transaction = (await open()).transaction(store, mode);
  const done = new Promise<void>((resolve, reject) => {
    transaction.oncomplete = () => resolve();
    transaction.onabort = () => reject(transaction.error ?? new Error('the store refused'));
  });
  const [result] = await Promise.all([settled(work(transaction.objectStore(store))), done]);
  return result;
}

export const vault = {
  put: (store: Store, what: { id: string }): Promise<unknown> => within(store, 'readwrite', (on) => on.put(what)),
  drop: (store: Store, id: string): Promise<unknown> => within(store, 'readwrite', (on) => on.delete(id)),
  all: (store: Store): Promise<unknown[]> => within<unknown[]>(store, 'readonly', (on) => on.getAll()),
  keys: (store: Store): Promise<IDBValidKey[]> => within(store, 'readonly', (on) => on.getAllKeys()),
  one: (store: Store, id: string): Promise<unknown> => within<unknown>(store, 'readonly', (on) => on.get(id)),
};

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
