import { askReader } from '../engine/reader.ts';
import { Refused } from '../engine/workerClient.ts';

/** A picture from a file, upright, on white, its longer side made no longer than wished; and how many of the file's pixels are in one of it. */
export interface Opened { canvas: HTMLCanvasElement; times: number }

export async function opened(file: File, longest: number): Promise<Opened> {
  const { times, rgba, width, height } = await askReader('read_on_white', file, file.name, longest);
  const canvas = document.createElement('canvas');
  [canvas.width, canvas.height] = [width, height];
  // It is read each time that its marks have moved.
  canvas.getContext('2d', { willReadFrequently: true })?.putImageData(new ImageData(rgba, width, height), 0, 0);
  return { canvas, times };
}

/** Why a picture could not be opened. */
export function unreadable(name: string, error: unknown): string {
  // A refusal in words is of its size.
  return error instanceof Refused && error.message.includes(name) ? error.message
    : `“${name}” is not a picture this page can read. Choose a PNG, JPEG, WebP, GIF, AVIF or BMP file.`;
}

/** All of a picture, a byte for each of red, green, blue and alpha. */
export function pixelsOf(canvas: HTMLCanvasElement): Uint8Array | undefined {
  const pixels = canvas.getContext('2d', { willReadFrequently: true })?.getImageData(0, 0, canvas.width, canvas.height);
  return pixels && new Uint8Array(pixels.data.buffer);
}
