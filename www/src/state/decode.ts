import { canvasOf, newMark, type Picture } from './picture';
import { newId } from './vault';

/** Longest side (pixels) that the workers get: more would not show in the bite. */
const LONGEST_SIDE = 2400;
/** Most times one side is longer than the other: as with plates, of 20 to 600 mm. */
const LONGEST_SHAPE = 30;
/** Fewest pixels of a side. */
const FEWEST_PX = 16;
/** Largest picture taken without a word, in megapixels. */
const LARGEST_MPX = 50;

export interface Decoded { picture: Picture; said: string | null }

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

/** Reads a picture file; throws an Error whose message is a sentence for the user. */
export async function decode(file: Blob, name: string): Promise<Decoded> {
  const refuse = `“${name}” is not a picture this page can read. Choose a PNG, JPEG, WebP, GIF, AVIF or BMP file; ${KEPT}`;
  let bitmap: ImageBitmap;
  try {
    bitmap = await createImageBitmap(file, { imageOrientation: 'from-image' });
  } catch {
    throw new Error(refuse);
  }
  const full = bitmap.width * bitmap.height;
  const why = full === 0 ? refuse : unfit(name, bitmap.width, bitmap.height);
  if (why !== null) {
    bitmap.close();
    throw new Error(why);
  }
  const scale = Math.min(1, LONGEST_SIDE / Math.max(bitmap.width, bitmap.height));
  const width = Math.max(1, Math.round(bitmap.width * scale));
  const height = Math.max(1, Math.round(bitmap.height * scale));
  const [canvas, context] = canvasOf(width, height);
  // Transparent parts stay paper.
  context.fillStyle = '#fff';
  context.fillRect(0, 0, width, height);
  context.imageSmoothingQuality = 'high';
  context.drawImage(bitmap, 0, 0, width, height);
  const file_px: [number, number] = [bitmap.width, bitmap.height];
  bitmap.close();
  const rgba = context.getImageData(0, 0, width, height).data;
  const said = full > LARGEST_MPX * 1e6
    ? `“${name}” has ${Math.round(full / 1e6)} megapixels; it was scaled to ${width} × ${height} pixels, which is finer than any value can follow.`
    : null;
  return { picture: { mark: newMark(), id: newId(), name, width, height, file_px, rgba, lightness: null, canvas, histogram: [] }, said };
}
