import { signal } from '@preact/signals';
import type { Size } from '../engine/decoding.ts';
import type { Crop, Plan } from '../engine/protocol.ts';
import { askReader } from '../engine/reader.ts';

/* Crops of the plate's shape: which they are is Rust's to say, and asked of the reader. */

type Sized = { width: number; height: number; file_px?: Size };

/** The file's size where it is known: a copy of whole pixels has not quite its shape. */
const pxOf = ({ width, height, file_px }: Sized): Size => file_px ?? [width, height];
const mmOf = ({ plate: { width_mm, height_mm } }: Plan): Size => [width_mm, height_mm];

const withCrop = (of: Plan, crop: Crop): Plan => ({ ...of, picture: { ...of.picture, crop } });

let last: Promise<void> = Promise.resolve();

/** Changes of the crop are made one after the other, each to the plan that the one before has left. */
export function inOrder(step: () => Promise<void>): void {
  last = last.then(step).catch(() => undefined);
}

/** Whether the crop has the plate's shape on this picture. */
export function cropFits(of: Plan, picture: Sized): Promise<boolean> {
  return askReader('crop_fits', pxOf(picture), mmOf(of), of.picture.crop, false);
}

/** Whether lines keep their shape on the plate. */
export function linesKeepShape(of: Plan, crop: Crop, lines: Sized): Promise<boolean> {
  return askReader('crop_fits', pxOf(lines), mmOf(of), crop, true);
}

/** The part of a whole picture that a crop of its part is. */
export function cropWithin(crop: Crop, part: Crop): Promise<Crop> {
  return askReader('crop_within', crop, part);
}

/** A crop of the plate's shape with this width and middle, or the nearest that lies in the picture. */
export function cropAt(of: Plan, picture: Sized, middleX: number, middleY: number, width: number): Promise<Crop> {
  return askReader('crop_at', pxOf(picture), mmOf(of), [middleX, middleY], width);
}

/** How a picture of lines lies on the plate. */
export function cropOfLines(of: Plan, picture: Sized, lines: Sized): Promise<Crop> {
  return askReader('crop_of_lines', pxOf(lines), pxOf(picture), of.picture.crop, mmOf(of));
}

/** The crop brought to the plate's shape: same middle, and as close as before. */
export async function fitCrop(of: Plan, before: Plan, picture: Sized): Promise<Plan> {
  if (!picture.width) return of;
  return withCrop(of, await askReader('crop_fitted', pxOf(picture), mmOf(of), of.picture.crop, mmOf(before)));
}

/** The largest crop of the plate's shape, in the middle of the picture. */
export async function widestCrop(of: Plan, picture: Sized): Promise<Plan> {
  return withCrop(of, await cropAt(of, picture, 0.5, 0.5, 1));
}

/** The plate made the picture's shape, with about its old area and the whole picture on it. */
export async function plateLikePicture(of: Plan, picture: Sized): Promise<Plan> {
  if (!picture.width || !picture.height) return of;
  const [width_mm, height_mm] = await askReader('plate_like_picture', pxOf(picture), mmOf(of));
  // Whole millimetres are not quite the picture's shape: the crop gives way by that little.
  return widestCrop({ ...of, plate: { ...of.plate, width_mm, height_mm } }, picture);
}

/** Width of the widest crop of the plan in hand, for the handle that shows how close the crop is. */
export const widest = signal(1);

export async function findWidest(of: Plan, picture: Sized): Promise<void> {
  widest.value = await askReader('widest_width', pxOf(picture), mmOf(of));
}
