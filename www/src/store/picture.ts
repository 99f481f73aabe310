import { signal } from '@preact/signals';
import type { Image, Plan } from '../engine/protocol.ts';
import type { KeptPicture } from './pictureStore.ts';

/** The picture in hand. */
export interface Picture {
  mark: number;
  /** What it is kept under; empty for the harbour. */
  id: string;
  /** File name, or null for the harbour. */
  name: string | null;
  width: number; height: number;
  /** Size of its file, pixels, while that is known. */
  file_px?: [width: number, height: number];
  /** Its file, where that is finer than `lightness`: close crops are read from it. */
  file?: Blob;
  /** As a worker has read it. Null for the harbour, which the workers draw themselves. */
  lightness: Uint8Array<ArrayBuffer> | null;
  /** For the crop frame; null if there is nothing to show yet. */
  canvas: HTMLCanvasElement | null;
  /** Pixels by lightness, 101 bins; empty until a worker has looked at it. */
  histogram: number[];
}

export const HARBOUR: Picture = { mark: 0, id: '', name: null, width: 0, height: 0, lightness: null, canvas: null, histogram: [] };

export const picture = signal<Picture>(HARBOUR);

/** Whether another picture stands in for the plan's own: the harbour, or the small one of a link. */
export function awaits(of: Plan, shown: Picture): boolean {
  return typeof of.picture.source !== 'string' && (shown.name === null || of.picture.stand_in !== undefined);
}

/** A plan for another picture than the one it was made for. */
export function forPicture(of: Plan, source: Plan['picture']['source']): Plan {
  const { made_for: _, stand_in: __, ...kept } = of.picture;
  return { ...of, picture: { ...kept, source } };
}

let lastMark = 0;

/** A number that no picture in hand has had. */
export function newMark(): number {
  return ++lastMark;
}

export function canvasOf(width: number, height: number): [HTMLCanvasElement, CanvasRenderingContext2D] {
  const canvas = document.createElement('canvas');
  canvas.width = width;
  canvas.height = height;
  const context = canvas.getContext('2d', { willReadFrequently: true });
  if (!context) throw new Error('This browser gives the page no canvas to draw on.');
  return [canvas, context];
}

/** A kept picture, or a link's small one, as a picture to take in hand. */
export function pictureFrom(kept: KeptPicture): Picture {
  return { mark: newMark(), ...kept, canvas: null, histogram: [] };
}

/** What is kept of a picture; null for the harbour, and for one no worker has read yet. */
export function keptOf({ id, name, width, height, lightness, file, file_px }: Picture): KeptPicture | null {
  return lightness && name !== null ? { id, name, width, height, lightness, ...(file && file_px && { file, file_px }) } : null;
}

/** Writes grey pixels as opaque colour. */
export function spreadGrey(grey: Uint8Array, into: Uint8ClampedArray): void {
  const words = new Uint32Array(into.buffer, into.byteOffset, grey.length);
  for (let i = 0; i < grey.length; i++) words[i] = 0xff000000 | ((grey[i] ?? 0) * 0x010101);
}

/** Room of a picture shown small (rem), as the styles have it. */
const SHOWN_WIDE = 40;
const SHOWN_HIGH = 12;

/** The same in pixels of the screen. */
export function roomPx(): [width: number, height: number] {
  const rem = parseFloat(getComputedStyle(document.documentElement).fontSize) * devicePixelRatio;
  return [SHOWN_WIDE * rem, SHOWN_HIGH * rem];
}

/** A canvas of opaque pixels. */
export function canvasFrom({ rgba, width, height }: Image): HTMLCanvasElement {
  const [canvas, context] = canvasOf(width, height);
  context.putImageData(new ImageData(rgba, width, height), 0, 0);
  return canvas;
}
