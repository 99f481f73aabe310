import { BMP } from 'image-size/types/bmp';
import { GIF } from 'image-size/types/gif';
import { HEIF } from 'image-size/types/heif';
import { JPG } from 'image-size/types/jpg';
import { PNG } from 'image-size/types/png';
import { WEBP } from 'image-size/types/webp';
import { headOf, type Given } from './handed.ts';

/** Kinds of pictures that browsers read. */
const KINDS = [PNG, JPG, WEBP, GIF, HEIF, BMP];

/** Size of a picture as its file says it, not turned upright; null where it can't be told. */
export async function sizeInHeader(file: Given): Promise<[width: number, height: number] | null> {
  const head = await headOf(file);
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
