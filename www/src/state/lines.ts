import type { PictureForWorkers } from '../reckon/bench';
import type { LineWork, Plan } from '../reckon/protocol';
import { keepPicture } from './autosave';
import { cropAt } from './crop';
import { decode } from './decode';
import { bench } from './desk';
import { edit } from './edits';
import { picture, type Picture } from './picture';
import { change, plan } from './plan';
import { asPicture, LINES, vault, type KeptPicture } from './vault';

/*
 * Pictures of lines etched before the ground. The plan names one; it is kept in the browser's store under that
 * name, so undo, drafts and shelf find it by the plan alone. No two that differ ever have the same name.
 */

export interface LinePicture extends KeptPicture { mark: number }

const held = new Map<string, LinePicture>();

function hold(kept: KeptPicture): LinePicture {
  const lines = { ...kept, mark: held.size + 1 };
  held.set(kept.name, lines);
  return lines;
}

/** The picture of lines of this name, or null when it is not here. */
export async function linesNamed(name: string): Promise<LinePicture | null> {
  const known = held.get(name);
  if (known) return known;
  const kept = asPicture(await vault.one('pictures', LINES + name).catch(() => null));
  return kept && (held.get(name) ?? hold({ ...kept, id: LINES + name, name }));
}

/** The same for workers: they print without lines where the picture is not here. */
export async function linesForWorkers(name: string): Promise<PictureForWorkers> {
  return await linesNamed(name) ?? { mark: 0.5, width: 0, height: 0, lightness: new Uint8Array() };
}

/** What to say when the picture of a plan's lines is not here. */
export async function linesMissing(name: string): Promise<string | null> {
  return await linesNamed(name) ? null : `The picture of its lines, “${name}”, did not come with it: choose it under “Etched lines”. Until then nothing of them is printed.`;
}

function same(a: Uint8Array, b: Uint8Array): boolean {
  return a.length === b.length && a.every((byte, i) => byte === b[i]);
}

/** Keeps a picture of lines, under another name where that one is taken. */
export async function keepLines(wish: string, of: Pick<KeptPicture, 'width' | 'height' | 'lightness'>): Promise<LinePicture> {
  const [, stem = wish, ending = ''] = /^(.*?)(\.[^.]*)?$/.exec(wish.slice(0, 240)) ?? [];
  for (let number = 1; ; number++) {
    const name = number === 1 ? stem + ending : `${stem} (${number})${ending}`;
    const there = await linesNamed(name);
    if (there && (there.width !== of.width || !same(there.lightness, of.lightness))) continue;
    const { width, height, lightness } = of;
    const lines = there ?? hold({ id: LINES + name, name, width, height, lightness });
    await keepPicture(lines);
    return lines;
  }
}

type Sized = Pick<Picture, 'width' | 'height'>;

/** How lines lie on the plate: as the picture does where both have one shape, else as large as they can. */
export function layOf(of: Plan, lines: Sized): LineWork['crop'] {
  const { width, height } = picture.value;
  const alike = Math.abs(lines.width * height - lines.height * width) < 0.01 * lines.width * height;
  return alike ? of.picture.crop : cropAt(of, { ...picture.value, ...lines }, 0.5, 0.5, 1);
}

/** Whether the lines keep their shape on the plate. */
export function keepsShape({ plate }: Plan, { crop }: LineWork, lines: Sized): boolean {
  return Math.abs((crop.width * lines.width * plate.height_mm) / (crop.height * lines.height * plate.width_mm) - 1) < 0.01;
}

/** Takes a picture file as the plan's lines. */
export async function takeLines(file: File): Promise<void> {
  const { picture: decoded } = await decode(file, file.name || 'lines');
  const { width, height, rgba } = decoded;
  if (!rgba) return;
  const lightness = await bench.front.ask('read_lines', new Uint8Array(rgba), width, height);
  const kept = await keepLines(file.name || 'lines', { width, height, lightness });
  await edit(`etched lines “${kept.name}”`, (of) => bench.ask('lay_lines', of, kept.name, layOf(of, kept)));
}

export function setLines(what: string, next: Partial<LineWork>): void {
  const { lines } = plan.value;
  if (lines) change(what, { ...plan.value, lines: { ...lines, ...next } });
}

export function takeLinesOut(): void {
  void edit('etched lines taken out', (of) => bench.ask('remove_lines', of));
}
