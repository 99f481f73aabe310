import type { Crop, Plan } from '../reckon/protocol';
import type { Picture } from './picture';


/** Smallest part of the picture, as a fraction of its side, that can fill the plate. */
export const SMALLEST = 0.05;

/** The plate's shape as width over height in fractions of the picture. */
function shape(of: Plan, picture: Picture): number {
  if (!picture.width || !picture.height || !(of.plate.height_mm > 0)) return 1;
  return (of.plate.width_mm / of.plate.height_mm) * (picture.height / picture.width);
}

/** Whether the crop has the plate's shape on this picture. */
export function cropFits(of: Plan, picture: Picture): boolean {
  const { width, height } = of.picture.crop;
  return Math.abs((shape(of, picture) * height) / width - 1) < 0.03;
}

/** The part of a whole picture that a crop of its part is. */
export function cropWithin(crop: Crop, part: Crop): Crop {
  return {
    left: part.left + crop.left * part.width, top: part.top + crop.top * part.height,
    width: crop.width * part.width, height: crop.height * part.height,
  };
}

/** A crop of the plate's shape with this width and middle, pushed back inside the picture. */
export function cropAt(of: Plan, picture: Picture, middleX: number, middleY: number, wish: number): Crop {
  const ratio = shape(of, picture);
  const widest = Math.min(1, ratio);
  const width = Math.min(widest, Math.max(Math.min(SMALLEST, widest), wish));
  const height = Math.min(1, width / ratio);
  const inside = (middle: number, size: number): number => Math.min(1 - size, Math.max(0, middle - size / 2));
  return { left: inside(middleX, width), top: inside(middleY, height), width, height };
}

/** How much of the picture's larger fitting frame the crop takes, 0–1. */
export function closeness(of: Plan, picture: Picture): number {
  return of.picture.crop.width / Math.min(1, shape(of, picture));
}

/**
 * The crop brought to the plate's shape: same middle, and as close as before, so that a crop of all
 * that fits stays one.
 */
export function fitCrop(of: Plan, before: Plan, picture: Picture): Plan {
  if (!picture.width) return of;
  const { left, top, width, height } = of.picture.crop;
  const wish = Math.min(1, shape(of, picture)) * closeness(before, picture);
  const crop = cropAt(of, picture, left + width / 2, top + height / 2, wish);
  return { ...of, picture: { ...of.picture, crop } };
}

/** The largest crop of the plate's shape, in the middle of the picture. */
export function widestCrop(of: Plan, picture: Picture): Plan {
  const crop = cropAt(of, picture, 0.5, 0.5, 1);
  return { ...of, picture: { ...of.picture, crop } };
}

/** The plate made the picture's shape, with about its old area and the whole picture on it. */
export function plateLikePicture(of: Plan, picture: Picture, least_mm: number, most_mm: number): Plan {
  if (!picture.width || !picture.height) return of;
  const ratio = picture.width / picture.height;
  const area = of.plate.width_mm * of.plate.height_mm;
  const tidy = (mm: number): number => Math.min(most_mm, Math.max(least_mm, Math.round(mm)));
  const plate = { ...of.plate, width_mm: tidy(Math.sqrt(area * ratio)), height_mm: tidy(Math.sqrt(area / ratio)) };
  // Whole millimetres are not quite the picture's shape: the crop gives way by that little.
  return widestCrop({ ...of, plate }, picture);
}
