/*
 * A message keeps the memory that came with it until the browser sweeps it out, which is late: of a proof of three hundred tiles
 * some thirty MB would wait. So bytes are emptied once they have been read, and tiles come in room that goes to and fro.
 */

/** A buffer that can be emptied at once (ECMAScript 2024), where the browser knows how. */
interface Emptied extends ArrayBuffer { transfer?: (bytes: number) => ArrayBuffer }

/** Gives back the memory of bytes that nobody needs any more. */
export function free({ buffer }: Uint8Array): void {
  if (buffer instanceof ArrayBuffer) (buffer as Emptied).transfer?.(0);
}

/** Places of an answer where bytes stand: an object, and the name under which they stand there. */
function places(answer: unknown): [of: Record<string, unknown>, name: string, bytes: Uint8Array][] {
  if (!(answer instanceof Object) || ArrayBuffer.isView(answer)) return [];
  const of = answer as Record<string, unknown>;
  return Object.entries(of).flatMap(([name, value]) => (value instanceof Uint8Array ? [[of, name, value] as const] : places(value)) as ReturnType<typeof places>);
}

/** Lays all bytes of an answer into this room, one after the other; false where they need more. */
export function laidInto(room: ArrayBuffer, answer: unknown): boolean {
  const all = places(answer);
  if (all.reduce((sum, [, , bytes]) => sum + bytes.length, 0) > room.byteLength) return false;
  let at = 0;
  for (const [of, name, bytes] of all) {
    const laid = new Uint8Array(room, at, bytes.length);
    laid.set(bytes);
    free(bytes);
    of[name] = laid;
    at += laid.length;
  }
  return true;
}
