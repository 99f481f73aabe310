import { signal } from '@preact/signals';
import { newId, type KeptPicture } from './vault';

/** The picture in hand. `rgba` is null for the harbour, which the workers draw themselves. */
export interface Picture {
  mark: number;
  /** What it is kept under; empty for the harbour. */
  id: string;
  /** File name, or null for the harbour. */
  name: string | null;
  width: number; height: number;
  rgba: Uint8ClampedArray | null;
  /** As a worker has read it: all that is kept of it then. Null until then, and for the harbour. */
  lightness: Uint8Array<ArrayBuffer> | null;
  /** For the crop frame; null if there is nothing to show yet. */
  canvas: HTMLCanvasElement | null;
  /** Pixels by lightness, 101 bins; empty until a worker has looked at it. */
  histogram: number[];
}

export const HARBOUR: Picture = { mark: 0, id: '', name: null, width: 0, height: 0, rgba: null, lightness: null, canvas: null, histogram: [] };

export const picture = signal<Picture>(HARBOUR);

/** Longest side (pixels) that the workers get: more would not show in the bite. */
const LONGEST_SIDE = 2400;
/** Longest side (pixels) that the crop frame shows: more than its 12rem have on any screen. */
const SHOWN_SIDE = 1024;
/** Largest picture taken without a word, in megapixels. */
const LARGEST_MPX = 50;

export interface Decoded { picture: Picture; said: string | null }

let lastMark = 0;

function canvasOf(width: number, height: number): [HTMLCanvasElement, CanvasRenderingContext2D] {
  const canvas = document.createElement('canvas');
  canvas.width = width;
  canvas.height = height;
  const context = canvas.getContext('2d', { willReadFrequently: true });
  if (!context) throw new Error('This browser gives the page no canvas to draw on.');
  return [canvas, context];
}

/** Reads a picture file; throws an Error whose message is a sentence for the user. */
export async function decode(file: Blob, name: string): Promise<Decoded> {
  const refuse = `“${name}” is not a picture this page can read. Choose a PNG, JPEG or WebP file; your plan and picture are as they were.`;
  let bitmap: ImageBitmap;
  try {
    bitmap = await createImageBitmap(file, { imageOrientation: 'from-image' });
  } catch {
    throw new Error(refuse);
  }
  const full = bitmap.width * bitmap.height;
  if (full === 0) throw new Error(refuse);
  const scale = Math.min(1, LONGEST_SIDE / Math.max(bitmap.width, bitmap.height));
  const width = Math.max(1, Math.round(bitmap.width * scale));
  const height = Math.max(1, Math.round(bitmap.height * scale));
  const [canvas, context] = canvasOf(width, height);
  // Transparent parts stay paper.
  context.fillStyle = '#fff';
  context.fillRect(0, 0, width, height);
  context.imageSmoothingQuality = 'high';
  context.drawImage(bitmap, 0, 0, width, height);
  bitmap.close();
  const rgba = context.getImageData(0, 0, width, height).data;
  lastMark += 1;
  const said = full > LARGEST_MPX * 1e6
    ? `“${name}” has ${Math.round(full / 1e6)} megapixels; it was scaled to ${width} × ${height} pixels, which is finer than any value can follow.`
    : null;
  return { picture: { mark: lastMark, id: newId(), name, width, height, rgba, lightness: null, canvas, histogram: [] }, said };
}

/** A kept picture, or a link's small one, as a picture to take in hand. */
export function pictureFrom(kept: KeptPicture): Picture {
  const { id, name, width, height, lightness } = kept;
  lastMark += 1;
  return { mark: lastMark, id, name, width, height, rgba: null, lightness, canvas: null, histogram: [] };
}

/** What is kept of a picture; null for the harbour, and for one no worker has read yet. */
export function keptOf({ id, name, width, height, lightness }: Picture): KeptPicture | null {
  return lightness && name !== null ? { id, name, width, height, lightness } : null;
}

/** Writes grey pixels as opaque colour. */
export function spreadGrey(grey: Uint8Array, into: Uint8ClampedArray): void {
  const words = new Uint32Array(into.buffer, into.byteOffset, grey.length);
  for (let i = 0; i < grey.length; i++) words[i] = 0xff000000 | ((grey[i] ?? 0) * 0x010101);
}

/** What the crop frame shows of a canvas: a large one, and its copy for the screen, would cost tens of megabytes. */
export function shownOf(canvas: HTMLCanvasElement): HTMLCanvasElement {
  const scale = SHOWN_SIDE / Math.max(canvas.width, canvas.height);
  if (scale >= 1) return canvas;
  const [small, context] = canvasOf(Math.max(1, Math.round(canvas.width * scale)), Math.max(1, Math.round(canvas.height * scale)));
  context.imageSmoothingQuality = 'high';
  context.drawImage(canvas, 0, 0, small.width, small.height);
  return small;
}

/** A canvas from grey pixels. */
export function greyCanvas(grey: Uint8Array, width: number, height: number): HTMLCanvasElement {
  const [canvas, context] = canvasOf(width, height);
  const image = context.createImageData(width, height);
  spreadGrey(grey, image.data);
  context.putImageData(image, 0, 0);
  return canvas;
}
