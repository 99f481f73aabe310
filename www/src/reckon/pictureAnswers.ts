/**
 * Pictures in a worker: the browser decodes them here, off the page's thread, and Rust reads their pixels.
 *
 * No whole picture is ever copied. The browser holds the decoded one (200 MB of 50 megapixels), a canvas of a few
 * rows takes a band of it after another, of the crop alone, and each band goes to the module, which keeps no more
 * of it than the pixels of the map that it is summing.
 */
import type * as Glue from '../../generated/page';
import type { PictureAnswers, PictureRequest, Size, Tones, WholePicture } from './pictureProtocol';
import type { Crop } from './protocol';

declare const wasm_bindgen: typeof Glue;

/** Pixels of a band, and the widest canvas that every browser has. */
const BAND_PX = 1 << 20;
const WIDEST_PX = 8192;
/** Most times one side is longer than the other: as with plates, of 20 to 600 mm. */
const LONGEST_SHAPE = 30;
/** Fewest pixels of a side. */
const FEWEST_PX = 16;
/** Largest picture taken without a word, in megapixels. */
const LARGEST_MPX = 50;
/** Ends every refusal. */
const KEPT = 'your plan and picture are as they were.';

/** Why a picture of this size can't be laid on a plate; null if it can. */
function unfit(name: string, width: number, height: number): string | null {
  const [short, long] = [Math.min(width, height), Math.max(width, height)];
  const what = `“${name}” is ${width} × ${height} pixels`;
  if (long > LONGEST_SHAPE * short) {
    return `${what}: one side is ${Math.round(long / short)} times the other, on a plate ${LONGEST_SHAPE} times at most. Cut out the part that you want to print and choose that; ${KEPT}`;
  }
  return short < FEWEST_PX ? `${what}, too few to show where a value begins. Choose one with at least ${FEWEST_PX} on each side; ${KEPT}` : null;
}

/**
 * The decoded picture: upright, in sRGB whatever its own profile, and with the colours of half-clear pixels as they
 * are in the file, so that nothing is lost before the canvas.
 */
function decode(file: Blob): Promise<ImageBitmap> {
  return createImageBitmap(file, { imageOrientation: 'from-image', premultiplyAlpha: 'none', colorSpaceConversion: 'default' });
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
  const reading = new wasm_bindgen.PictureReading(bitmap.width, bitmap.height, crop ? four(crop) : new Float64Array());
  try {
    if (show) reading.show(...show.size);
    const [left = 0, top = 0, width = 0, height = 0] = reading.window();
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
    if (show) show.take(new ImageData(new Uint8ClampedArray(own(reading.shown()).buffer), ...show.size));
    const tones = reading.finish();
    try {
      return { width: tones.width(), height: tones.height(), lightness: own(tones.lightness()), part: cropOf(tones.part()) };
    } finally {
      tones.free();
    }
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

async function readPicture({ file, name, room_px, plate_mm }: Extract<PictureRequest, { do: 'read_picture' }>): Promise<WholePicture> {
  const refuse = `“${name}” is not a picture this page can read. Choose a PNG, JPEG, WebP, GIF, AVIF or BMP file; ${KEPT}`;
  const bitmap = await decode(file).catch(() => { throw new Error(refuse); });
  try {
    const file_px: Size = [bitmap.width, bitmap.height];
    const full = bitmap.width * bitmap.height;
    const why = full === 0 ? refuse : unfit(name, ...file_px);
    if (why !== null) throw new Error(why);
    const size = sizeIn(room_px, ...file_px);
    let shown = new ImageData(...size);
    const { width, height, lightness } = await tonesOf(bitmap, null, { size, take: (image) => { shown = image; } });
    // What most pictures are laid on the plate by next: read now, they need not be decoded again.
    const crop = cropOf(wasm_bindgen.crop_at(list(file_px), list(plate_mm), Float64Array.of(0.5, 0.5), 1));
    const closer = wasm_bindgen.read_whole(...file_px, four(crop)) ? null : { crop, tones: await tonesOf(bitmap, crop) };
    const said = full > LARGEST_MPX * 1e6
      ? `“${name}” has ${Math.round(full / 1e6)} megapixels; it was scaled to ${width} × ${height} pixels, which is finer than any value can follow.`
      : null;
    return { file_px, width, height, lightness, shown, closer, said };
  } finally {
    bitmap.close();
  }
}

async function readPart({ file, file_px, crop }: Extract<PictureRequest, { do: 'read_part' }>): Promise<PictureAnswers['read_part']> {
  // Asked before the picture is decoded, which takes a second.
  if (wasm_bindgen.read_whole(...file_px, four(crop))) return { tones: null };
  const bitmap = await decode(file);
  try {
    return { tones: await tonesOf(bitmap, crop) };
  } finally {
    bitmap.close();
  }
}

/** One picture is decoded at a time: two would take twice the memory, and no less time. */
let reading: Promise<unknown> = Promise.resolve();

function inTurn<T>(read: () => Promise<T>): Promise<T> {
  const done = reading.then(read);
  reading = done.catch(() => undefined);
  return done;
}

export function pictureAnswer(ask: PictureRequest): PictureAnswers[keyof PictureAnswers] | Promise<PictureAnswers[keyof PictureAnswers]> {
  switch (ask.do) {
    case 'read_picture': return inTurn(() => readPicture(ask));
    case 'read_part': return inTurn(() => readPart(ask));
    case 'crop_at': return { crop: cropOf(wasm_bindgen.crop_at(list(ask.picture_px), list(ask.plate_mm), list(ask.middle), ask.width)) };
    case 'crop_fitted': return { crop: cropOf(wasm_bindgen.crop_fitted(list(ask.picture_px), list(ask.plate_mm), four(ask.crop), list(ask.before_mm))) };
    case 'crop_within': return { crop: cropOf(wasm_bindgen.crop_within(four(ask.crop), four(ask.part))) };
    case 'crop_of_lines': return { crop: cropOf(wasm_bindgen.crop_of_lines(list(ask.lines_px), list(ask.picture_px), four(ask.crop), list(ask.plate_mm))) };
    case 'crop_fits': return { fits: wasm_bindgen.crop_fits(list(ask.picture_px), list(ask.plate_mm), four(ask.crop), ask.closely) };
    case 'widest_width': return { width: wasm_bindgen.widest_width(list(ask.picture_px), list(ask.plate_mm)) };
    case 'plate_like_picture': {
      const [width = 0, height = 0] = wasm_bindgen.plate_like_picture(list(ask.picture_px), list(ask.plate_mm));
      return { plate_mm: [width, height] };
    }
  }
}

const PICTURE_REQUESTS = new Set<string>([
  'read_picture', 'read_part', 'crop_at', 'crop_fitted', 'crop_within', 'crop_of_lines', 'crop_fits', 'widest_width', 'plate_like_picture',
] satisfies PictureRequest['do'][]);

export function isOfPictures(ask: { do: string }): ask is PictureRequest {
  return PICTURE_REQUESTS.has(ask.do);
}

/** A crop as Rust takes it. */
export function four({ left, top, width, height }: Crop): Float64Array {
  return Float64Array.of(left, top, width, height);
}

function cropOf([left = 0, top = 0, width = 1, height = 1]: Float64Array): Crop {
  return { left, top, width, height };
}

function list(of: [number, number]): Float64Array {
  return Float64Array.from(of);
}

function bytes(of: Uint8ClampedArray): Uint8Array {
  return new Uint8Array(of.buffer, of.byteOffset, of.byteLength);
}

function own(of: Uint8Array): Uint8Array<ArrayBuffer> {
  return of as Uint8Array<ArrayBuffer>;
}
