import type { PictureForWorkers } from '../engine/workerPool.ts';
import type { LineWork } from '../engine/protocol.ts';
import { keepPicture } from './keptPictures.ts';
import { asPicture, LINES, vault, type KeptPicture } from './pictureStore.ts';
import { readingFor } from './readings.ts';

/*
 * Pictures of lines etched before the ground. The plan names one; it is kept in the browser's store under that
 * name, so undo, drafts and shelf find it by the plan alone. No two that differ ever have the same name.
 */

export type LinePicture = KeptPicture;

const held = new Map<string, LinePicture>();

function hold(kept: KeptPicture): LinePicture {
  held.set(kept.name, kept);
  return kept;
}

/** Marks of what workers have got of pictures of lines; 0.5 is none. */
const marks = new WeakMap<object, number>();
let lastMark = 0;

function markOf(reading: object): number {
  const mark = marks.get(reading) ?? ++lastMark;
  marks.set(reading, mark);
  return mark;
}

/** The picture of lines of this name, or null when it is not here. */
export async function linesNamed(name: string): Promise<LinePicture | null> {
  const known = held.get(name);
  if (known) return known;
  const kept = asPicture(await vault.one('pictures', LINES + name).catch(() => null));
  return kept && (held.get(name) ?? hold({ ...kept, id: LINES + name, name }));
}

/** The same for workers, as fine as the plan's crop of it asks for: they print without lines where the picture is not here. */
export async function linesForWorkers({ picture: name, crop }: LineWork): Promise<PictureForWorkers> {
  const whole = await linesNamed(name);
  if (!whole) return { mark: 0.5, width: 0, height: 0, lightness: new Uint8Array() };
  const reading = await readingFor(whole, crop);
  return { ...reading, mark: markOf(reading) };
}

/** What to say when the picture of a plan's lines is not here. */
export async function linesMissing(name: string): Promise<string | null> {
  return await linesNamed(name) ? null : `The picture of its lines, “${name}”, did not come with it: choose it under “Etched lines”. Until then nothing of them is printed.`;
}

function same(a: Uint8Array, b: Uint8Array): boolean {
  return a.length === b.length && a.every((byte, i) => byte === b[i]);
}

/** Keeps a picture of lines, under another name where that one is taken. */
export async function keepLines(wish: string, of: Omit<KeptPicture, 'id' | 'name'>): Promise<LinePicture> {
  const [, stem = wish, ending = ''] = /^(.*?)(\.[^.]*)?$/.exec(wish.slice(0, 240)) ?? [];
  for (let number = 1; ; number++) {
    const name = number === 1 ? stem + ending : `${stem} (${number})${ending}`;
    const there = await linesNamed(name);
    if (there && (there.width !== of.width || !same(there.lightness, of.lightness))) continue;
    const lines = there ?? hold({ ...of, id: LINES + name, name });
    await keepPicture(lines);
    return lines;
  }
}
