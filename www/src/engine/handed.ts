/*
 * WebKit lets no worker of a page from disk read a file, not even one that the worker has made itself. There the page reads the
 * bytes that a worker needs, and unpacks pictures; everywhere else a worker is given the file.
 */

/** A file as the page hands it over: its bytes, or a picture's first ones and, once it is asked for, what it has been unpacked to. */
export interface Handed { bytes: Uint8Array<ArrayBuffer>; bitmap?: ImageBitmap | null }

/** A file as a worker is given it. */
export type Given = Blob | Handed;

/** What a worker answers where a picture must be unpacked by the page. */
export const UNPACK = 'the page must unpack it';

/** How much of a picture is looked at before it is unpacked, bytes: cameras put profiles and small pictures before the size. */
const HEAD_BYTES = 1 << 20;

/** The first bytes of a picture. */
export async function headOf(file: Given): Promise<Uint8Array<ArrayBuffer>> {
  return bytesOf(file instanceof Blob ? file.slice(0, HEAD_BYTES) : file);
}

/** All bytes of a file that are there. */
export async function bytesOf(file: Given): Promise<Uint8Array<ArrayBuffer>> {
  return file instanceof Blob ? new Uint8Array(await file.arrayBuffer()) : file.bytes;
}

/** The picture unpacked; fails where that can't be done. */
export async function unpackedFrom(file: Given, as: ImageBitmapOptions): Promise<ImageBitmap> {
  if (file instanceof Blob) return createImageBitmap(file, as);
  if (!file.bitmap) throw new Error('it could not be unpacked');
  return file.bitmap;
}

/** Has the page unpack it, where that is not done yet: after its header has been looked at. */
export function wantUnpacked(file: Given): void {
  if (!(file instanceof Blob) && file.bitmap === undefined) throw new Error(UNPACK);
}

/**
 * Upright, in sRGB whatever its own profile, and with the colours of half-clear pixels as they are in the file, so that nothing
 * is lost before the canvas.
 */
export const FAITHFULLY: ImageBitmapOptions = { imageOrientation: 'from-image', premultiplyAlpha: 'none', colorSpaceConversion: 'default' };
