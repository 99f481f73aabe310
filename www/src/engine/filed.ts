import { fromBase64 } from '../store/base64.ts';
import { bytesOf, type Given } from './handed.ts';

/*
 * Files of plans, read off the page's thread: text, JSON, and what is packed in it. Nothing in them is trusted: what
 * swells is given up as soon as it is longer than it may be.
 */

/** Packed bytes that are unpacked at one go: a thousand times as many, at most (RFC 1951 packs no closer). */
const PIECE_BYTES = 4096;

/** Most pictures of a file that are unpacked. */
const MOST_PICTURES = 10_000;

/** A picture as a file has it, unpacked: `lightness` and `file` are what they were packed from, or missing. */
type Unpacked = Record<string, unknown>;

/** What a file is: a shelf, with its pictures unpacked, or text that may be a plan. */
export interface Filed { shelf: Record<string, unknown> | null; text: string }

/** A file's text, which some editors save as UTF-16; a byte-order mark is no part of it. The native program does the same. */
async function textOf(file: Given): Promise<string> {
  const bytes = await bytesOf(file);
  const [first, second] = bytes;
  // A plan begins with a brace or a space: a nought beside it is the other half of its unit.
  const coding = (first === 0xfe && second === 0xff) || first === 0 ? 'utf-16be' : (first === 0xff && second === 0xfe) || second === 0 ? 'utf-16le' : 'utf-8';
  return new TextDecoder(coding).decode(bytes);
}

function asShelf(text: string): Record<string, unknown> | null {
  try {
    const json: unknown = JSON.parse(text);
    return typeof json === 'object' && json !== null && 'platewright_shelf' in json ? json as Record<string, unknown> : null;
  } catch {
    return null;
  }
}

/** Packed bytes, piece by piece, as they are asked for. */
function pieces(packed: Uint8Array<ArrayBuffer>): ReadableStream<Uint8Array<ArrayBuffer>> {
  let at = 0;
  return new ReadableStream({
    pull(into) {
      if (at >= packed.length) { into.close(); return; }
      into.enqueue(packed.slice(at, at + PIECE_BYTES));
      at += PIECE_BYTES;
    },
  });
}

/** The bytes again; null unless there are just as many as there should be. */
async function inflated(text: string, length: number): Promise<Uint8Array<ArrayBuffer> | null> {
  const reader = pieces(fromBase64(text)).pipeThrough(new DecompressionStream('deflate-raw')).getReader();
  const whole = new Uint8Array(length);
  for (let at = 0; ;) {
    const { done, value } = await reader.read();
    if (done) return at === length ? whole : null;
    if (at + value.length > length) { await reader.cancel(); return null; }
    whole.set(value, at);
    at += value.length;
  }
}

async function unpacked(filed: unknown, most_pixels: number): Promise<Unpacked | null> {
  if (typeof filed !== 'object' || filed === null) return null;
  const { width, height, lightness, file } = filed as Record<string, unknown>;
  if (typeof lightness !== 'string' || typeof width !== 'number' || typeof height !== 'number') return null;
  // Measured before the room for it is asked for.
  if (!(width >= 1 && height >= 1 && width * height <= most_pixels)) return null;
  try {
    // A stranger's file is decoded like any picture that is dropped on the page.
    return { ...filed, lightness: await inflated(lightness, width * height), file: typeof file === 'string' ? new Blob([fromBase64(file)]) : undefined };
  } catch {
    return null;
  }
}

/** Reads a file that may hold plans. */
export async function readFile(file: Given, most_pixels: number): Promise<Filed> {
  const text = await textOf(file);
  const shelf = asShelf(text);
  if (!shelf) return { shelf, text };
  const pictures: Unpacked[] = [];
  for (const filed of Array.isArray(shelf.pictures) ? shelf.pictures.slice(0, MOST_PICTURES) : []) {
    const found = await unpacked(filed, most_pixels);
    if (found) pictures.push(found);
  }
  return { shelf: { ...shelf, pictures }, text: '' };
}
