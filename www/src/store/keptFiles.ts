/*
 * WebKit's larger store takes no file from a page on disk: it refuses the whole entry. There a file is kept as its bytes, and is a
 * file again when it comes out.
 */

/** A file as it is kept where files are refused. */
interface Bytes { file_bytes: Uint8Array<ArrayBuffer>; type: string }

const isBytes = (one: unknown): one is Bytes => one instanceof Object && 'file_bytes' in one && one.file_bytes instanceof Uint8Array;

export const hasFiles = (what: object): boolean => Object.values(what).some((one) => one instanceof Blob);

/** An entry with the bytes of its files in their place. */
export async function withBytes<T extends object>(what: T): Promise<T> {
  const all = Object.entries(what).map(async ([name, one]: [string, unknown]) =>
    [name, one instanceof Blob ? { file_bytes: new Uint8Array(await one.arrayBuffer()), type: one.type } satisfies Bytes : one]);
  return Object.fromEntries(await Promise.all(all)) as T;
}

/** The entry with its files again. */
export function withFiles(kept: unknown): unknown {
  if (!(kept instanceof Object) || !Object.values(kept).some(isBytes)) return kept;
  return Object.fromEntries(Object.entries(kept).map(([name, one]: [string, unknown]) => [name, isBytes(one) ? new Blob([new Uint8Array(one.file_bytes)], { type: one.type }) : one]));
}
