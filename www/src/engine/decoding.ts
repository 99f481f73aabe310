/**
 * What a worker does beside the Rust: the browser decodes pictures here, off the page's thread, and Rust reads their pixels.
 *
 * No whole picture is ever copied. The browser holds the decoded one (200 MB of 50 megapixels), a canvas of a few
 * rows takes a band of it after another, of the crop alone, and each band goes to the module, which keeps no more
 * of it than the pixels of the map that it is summing.
 */
import type * as Page from '../../generated/page.d.ts';
import { readFile } from './filed.ts';
import { FAITHFULLY, unpackedFrom, wantUnpacked, type Given } from './handed.ts';
import { sizeInHeader } from './headers.ts';
import type { Crop, Tones } from './protocol.ts';

declare const wasm_bindgen: typeof Page;
/** Memory in GB, in powers of two up to 8, where the browser tells it (Device Memory, W3C). */
declare const navigator: { readonly deviceMemory?: number };

/** Width and height. */
export type Size = [number, number];

/** A picture file as it is first taken. */
export interface WholePicture extends Tones {
  /** Size of the file's picture, upright. */
  file_px: Size;
  /** In colour, to be shown small. */
  shown: ImageData;
  /** For the widest crop on a plate, where that is finer than the whole. */
  closer: { crop: Crop; tones: Tones } | null;
  said: string | null;
}

/** A picture that takes more than this and can't be unpacked is most likely too large for what memory is left, bytes. */
const LARGE_BYTES = 4e8;
/** Pixels of a band, and the widest canvas that every browser has. */
const BAND_PX = 1 << 20;
const WIDEST_PX = 8192;

/** Share of a device's memory that one picture may take while it is unpacked. */
const SHARE = 1 / 4;

/** Bytes that a picture may take unpacked, as far as the browser tells. */
const mostBytes = (): number => (navigator.deviceMemory === undefined ? Infinity : navigator.deviceMemory * SHARE * 2 ** 30);

/** Refuses a picture before it is unpacked, where its header says that it would take too much memory; else that size, where it is told. */
async function refuseTooLarge(file: Given, name: string): Promise<Size | null> {
  const size = await sizeInHeader(file);
  const why = size && wasm_bindgen.too_large(name, ...size, mostBytes());
  if (why) throw new Error(why);
  wantUnpacked(file);
  return size;
}

function contextOf(width: number, height: number): OffscreenCanvasRenderingContext2D {
  // Read back again and again: a canvas in the graphics card's memory would have to be fetched each time.
  const context = new OffscreenCanvas(width, height).getContext('2d', { willReadFrequently: true });
  if (!context) throw new Error('This browser gives the page no canvas to draw on.');
  return context;
}

/** Lets other questions be answered between two bands: a crop frame is moved while a picture is read. */
function breathe(): Promise<void> {
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => { port1.close(); resolve(); };
    port2.postMessage(null);
  });
}

/** The tones of a picture, as fine as the crop asks for; `show` takes it in colour, in this size. */
async function tonesOf(bitmap: ImageBitmap, crop: Crop | null, show?: { size: Size; take: (shown: ImageData) => void }): Promise<Tones> {
  const reading = new wasm_bindgen.PictureReading(bitmap.width, bitmap.height, crop);
  try {
    if (show) reading.show(...show.size);
    const [left, top, width, height] = reading.window();
    const most = Math.max(1, Math.min(height, Math.floor(BAND_PX / width)));
    const strip = Math.min(width, WIDEST_PX);
    const canvas = contextOf(strip, most);
    canvas.imageSmoothingEnabled = false;
    // The canvas is not cleared between: what is clear in the picture must be clear in it. It multiplies colours
    // by alpha in bytes, the one loss of half-clear pixels that can't be helped here: half a code once laid on paper.
    canvas.globalCompositeOperation = 'copy';
    for (let y = 0; y < height; y += most) {
      const rows = Math.min(most, height - y);
      const band = (x: number, wide: number): Uint8ClampedArray => {
        canvas.drawImage(bitmap, left + x, top + y, wide, rows, 0, 0, wide, rows);
        return canvas.getImageData(0, 0, wide, rows).data;
      };
      reading.rows(bytes(width <= strip ? band(0, width) : pieced(band, width, strip, rows)));
      await breathe();
    }
    if (show) show.take(new ImageData(new Uint8ClampedArray(reading.shown().buffer), ...show.size));
    return reading.finish();
  } finally {
    reading.free();
  }
}

/** Rows wider than any canvas, put together from strips. */
function pieced(band: (x: number, wide: number) => Uint8ClampedArray, width: number, strip: number, rows: number): Uint8ClampedArray {
  const whole = new Uint8ClampedArray(4 * width * rows);
  for (let x = 0; x < width; x += strip) {
    const wide = Math.min(strip, width - x);
    const piece = band(x, wide);
    for (let row = 0; row < rows; row++) whole.set(piece.subarray(4 * row * wide, 4 * (row + 1) * wide), 4 * (row * width + x));
  }
  return whole;
}

/** Size of a picture that fits a room; of a small one its own. */
function sizeIn([wide, high]: Size, width: number, height: number): Size {
  const scale = Math.min(1, wide / width, high / height);
  return [Math.max(1, Math.round(width * scale)), Math.max(1, Math.round(height * scale))];
}

async function readPicture(file: Given, name: string, room_px: Size, plate_mm: Size): Promise<WholePicture> {
  const refuse = `“${name}” is not a picture this page can read. Choose a PNG, JPEG, WebP, GIF, AVIF or BMP file; your plan and picture are as they were.`;
  const told = await refuseTooLarge(file, name);
  const bitmap = await unpackedFrom(file, FAITHFULLY).catch(() => {
    // What its header says can be read; if it is large, that is why.
    throw new Error(told ? wasm_bindgen.too_large(name, ...told, LARGE_BYTES) ?? refuse : refuse);
  });
  try {
    const file_px: Size = [bitmap.width, bitmap.height];
    const why = bitmap.width * bitmap.height === 0 ? refuse : wasm_bindgen.unfit(name, ...file_px);
    if (why !== undefined) throw new Error(why);
    const size = sizeIn(room_px, ...file_px);
    let shown = new ImageData(...size);
    const { width, height, lightness } = await tonesOf(bitmap, null, { size, take: (image) => { shown = image; } });
    // What most pictures are laid on the plate by next: read now, they need not be decoded again.
    const crop = wasm_bindgen.crop_at(file_px, plate_mm, [0.5, 0.5], 1);
    const closer = wasm_bindgen.read_whole(...file_px, crop) ? null : { crop, tones: await tonesOf(bitmap, crop) };
    const said = wasm_bindgen.brought_down(name, ...file_px) ?? null;
    return { file_px, width, height, lightness, shown, closer, said };
  } finally {
    bitmap.close();
  }
}

async function readPart(file: Given, file_px: Size, crop: Crop): Promise<Tones | null> {
  // Asked before the picture is decoded, which takes a second.
  if (wasm_bindgen.read_whole(...file_px, crop)) return null;
  wantUnpacked(file);
  const bitmap = await unpackedFrom(file, FAITHFULLY);
  try {
    return await tonesOf(bitmap, crop);
  } finally {
    bitmap.close();
  }
}

/** A picture on white, upright, its longer side made no longer than `longest`; and how many of the file's pixels are in one of it. */
async function readSmall(file: Given, name: string, longest: number): Promise<{ canvas: OffscreenCanvas; times: number }> {
  await refuseTooLarge(file, name);
  const bitmap = await unpackedFrom(file, { imageOrientation: 'from-image' });
  try {
    const scale = Math.min(1, longest / Math.max(bitmap.width, bitmap.height));
    const [width, height] = [bitmap.width, bitmap.height].map((side) => Math.max(1, Math.round(side * scale))) as Size;
    const on = contextOf(width, height);
    on.fillStyle = '#fff';
    on.fillRect(0, 0, width, height);
    on.imageSmoothingQuality = 'high';
    on.drawImage(bitmap, 0, 0, width, height);
    return { canvas: on.canvas, times: bitmap.width / width };
  } finally {
    bitmap.close();
  }
}

async function readOnWhite(file: Given, name: string, longest: number): Promise<{ rgba: Uint8ClampedArray<ArrayBuffer>; width: number; height: number; times: number }> {
  const { canvas, times } = await readSmall(file, name, longest);
  const { width, height } = canvas;
  const rgba = canvas.getContext('2d')?.getImageData(0, 0, width, height).data ?? new Uint8ClampedArray(4 * width * height);
  return { rgba, width, height, times };
}

async function photograph(file: Given, name: string, longest: number, quality: number): Promise<{ blob: Blob; width: number; height: number }> {
  const { canvas } = await readSmall(file, name, longest);
  const { width, height } = canvas;
  return { blob: await canvas.convertToBlob({ type: 'image/jpeg', quality }), width, height };
}

/** Whether a file is a picture of this size: told by its header first, so that a stranger's is not unpacked to whatever it likes. */
async function isPicture(file: Given, width: number, height: number): Promise<boolean> {
  const told = await sizeInHeader(file);
  if (told?.join() !== [width, height].join() && told?.join() !== [height, width].join()) return false;
  wantUnpacked(file);
  const bitmap = await unpackedFrom(file, {}).catch(() => null);
  const sound = bitmap?.width === width && bitmap.height === height;
  bitmap?.close();
  return sound;
}

/** One picture is decoded at a time: two would take twice the memory, and no less time. */
let reading: Promise<unknown> = Promise.resolve();

function inTurn<T>(read: () => Promise<T>): Promise<T> {
  const done = reading.then(read);
  reading = done.catch(() => undefined);
  return done;
}

/** The calls, beside those of the Rust. */
export const decoding = {
  /** Reads a picture file; refuses with a sentence for the user. `room_px` is where it is shown small, `plate_mm` what it is laid on. */
  read_picture: (file: Given, name: string, room_px: Size, plate_mm: Size) => inTurn(() => readPicture(file, name, room_px, plate_mm)),
  /** Reads it again, as fine as the crop asks for; null where the whole is as fine. */
  read_part: (file: Given, file_px: Size, crop: Crop) => inTurn(() => readPart(file, file_px, crop)),
  /** A picture in colour on white, no longer than wished. */
  read_on_white: (file: Given, name: string, longest: number) => inTurn(() => readOnWhite(file, name, longest)),
  /** The same as a JPEG. */
  photograph: (file: Given, name: string, longest: number, quality: number) => inTurn(() => photograph(file, name, longest, quality)),
  /** A file of plans, with what is packed in it. */
  read_file: readFile,
  /** Whether files can be read here. */
  reads_files: () => new Blob(['read']).text().then(() => true, () => false),
  /** Whether a file is a picture of this size. */
  is_picture: (file: Given, width: number, height: number) => inTurn(() => isPicture(file, width, height)),
};

function bytes(of: Uint8ClampedArray): Uint8Array {
  return new Uint8Array(of.buffer, of.byteOffset, of.byteLength);
}
