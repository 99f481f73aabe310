import { askReader } from '../engine/reader.ts';
import type { Size } from '../engine/decoding.ts';
import type { Crop, Tones } from '../engine/protocol.ts';

/*
 * What lies on the plate is read from the full picture, as fine as its crop asks for. The page holds every picture as a
 * whole, which is coarser where the crop is close; there, its file is decoded again.
 */

/** A picture as a whole: with its file, where that is finer. */
export interface Whole extends Tones { id: string; file?: Blob; file_px?: Size }

/** Readings kept: of the plan in hand, of one beside it, and of what undo leads back to. */
const MOST_KEPT = 4;

/** The last readings, newest last; null where the whole serves. */
const kept = new Map<string, Tones | null>();
/** What is being read. */
const asked = new Map<string, Promise<Tones | null>>();

const keyOf = (id: string, { left, top, width, height }: Crop): string => [id, left, top, width, height].join();

function keep(key: string, tones: Tones | null): void {
  kept.set(key, tones);
  for (const [oldest] of kept) if (kept.size > MOST_KEPT) kept.delete(oldest);
}

/** Keeps what was read of a picture for this crop. */
export function keepReading(id: string, crop: Crop, tones: Tones): void {
  keep(keyOf(id, crop), tones);
}

/** What is known of a crop of a picture without a wait; undefined where its file must be read. */
export function readingAtHand<W extends Whole>(of: W, crop: Crop): W | Tones | undefined {
  if (!of.file || !of.file_px) return of;
  const found = kept.get(keyOf(of.id, crop));
  return found === null ? of : found;
}

/** A picture as fine as the crop asks for; as a whole where its file can't be read any more. */
export async function readingFor<W extends Whole>(of: W, crop: Crop): Promise<W | Tones> {
  const found = readingAtHand(of, crop);
  const { file, file_px } = of;
  if (found || !file || !file_px) return found ?? of;
  const key = keyOf(of.id, crop);
  const reading = asked.get(key) ?? askReader('read_part', file, file_px, crop).catch(() => null);
  asked.set(key, reading);
  const tones = await reading;
  asked.delete(key);
  keep(key, tones);
  return tones ?? of;
}
