import { BMP } from 'image-size/types/bmp';
import { GIF } from 'image-size/types/gif';
import { HEIF } from 'image-size/types/heif';
import { JPG } from 'image-size/types/jpg';
import { PNG } from 'image-size/types/png';
import { WEBP } from 'image-size/types/webp';

/** Kinds of pictures that browsers read. */
const KINDS = [PNG, JPG, WEBP, GIF, HEIF, BMP];
/** How much of a file is looked at, bytes: cameras put profiles and small pictures before the size. */
const HEAD_BYTES = 1 << 20;

/** Size of a picture as its file says it, not turned upright; null where it can't be told. */
export async function sizeInHeader(file: Blob): Promise<[width: number, height: number] | null> {
  const head = new Uint8Array(await file.slice(0, HEAD_BYTES).arrayBuffer());
  try {
    const size = KINDS.find(({ validate }) => validate(head))?.calculate(head);
    if (!size) return null;
    // A file may hold a picture in several sizes.
    const [largest = size] = [...size.images ?? [size]].sort((a, b) => b.width * b.height - a.width * a.height);
    return [largest.width, largest.height];
  } catch {
    return null;
  }
}
