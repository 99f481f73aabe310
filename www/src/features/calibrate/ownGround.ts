import { signal } from '@preact/signals';
import { askStudies } from '../../engine/studies.ts';
import type { GroundFit, GroundSeen, Plan } from '../../engine/protocol.ts';
import { wordsOf } from '../../engine/workerClient.ts';
import { readNumber } from '../../ui/numbers.ts';
import type { Place } from '../../ui/pointer.ts';
import { change, plan } from '../../store/plan.ts';
import { conversion } from '../../store/settings.ts';
import { pixelsOf } from '../../store/opened.ts';

/* Two pictures of one place, dust and melted ground, and what is read of them. They stay in this page only. */

export type Which = 'dust' | 'melted';
export type RosinTone = 'found' | 'lighter' | 'darker';
export type ScaleBy = 'ruler' | 'pixel' | 'across';

/** What tells a picture's scale. Numbers stand as they were typed, lengths in the reader's units. */
export interface Scale {
  by: ScaleBy;
  /** A picture of the ruler alone, of the same size; without one the ruler lies in the picture itself. */
  ruler: HTMLCanvasElement | null;
  /** Two marks on the ruler, which of them have been set, and the length between them. */
  marks: [Place, Place]; set: [boolean, boolean]; length: string;
  /** µm per pixel of the file; copper from the picture's left edge to its right. */
  pixel: string; across: string;
}

/** A picture and how it is read. */
export interface GroundPicture {
  name: string; canvas: HTMLCanvasElement;
  /** Pixels of the file in one of the canvas. */
  times: number;
  scale: Scale;
  /** Two corners of the part that is read; null is all of it. */
  frame: [Place, Place] | null;
  rosin: RosinTone;
  /** The level, moved towards more rosin, in shares of the distance of the two tones. */
  nudge: number;
  seen: GroundSeen | null; failed: string; busy: boolean;
}

export const pictures = signal<Record<Which, GroundPicture | null>>({ dust: null, melted: null });
export const groundFit = signal<GroundFit | null>(null);
export const groundFitFailed = signal('');
export const fitting = signal(false);

/** A length as typed in the reader's units, mm. */
const typedMm = (text: string): number => conversion('mm', 2).from(readNumber(text));

/** The scale as the Rust takes it; null while something of it is still to be set or typed. */
function scaleNumbers({ scale: { by, ruler, marks: [a, b], set, length, pixel, across }, times }: GroundPicture): number[] | null {
  const numbers = {
    ruler: [a.x, a.y, b.x, b.y, set[0] && set[1] ? typedMm(length) : Number.NaN, ruler ? 0 : 1],
    pixel: [readNumber(pixel), times],
    across: [typedMm(across)],
  }[by];
  return numbers.some(Number.isNaN) ? null : numbers;
}

/** Where marks lie before they are set. */
export function spots({ width, height }: HTMLCanvasElement, from: number): [Place, Place] {
  return [{ x: Math.round(from * width), y: Math.round(from * height) }, { x: Math.round((1 - from) * width), y: Math.round((1 - from) * height) }];
}

function update(which: Which, next: Partial<GroundPicture>): void {
  const now = pictures.value[which];
  if (now) pictures.value = { ...pictures.value, [which]: { ...now, ...next } };
}

/** The scale to begin with: a picture of the same size is likely taken at the same zoom. */
function firstScale(canvas: HTMLCanvasElement, before: GroundPicture | null): Scale {
  const fresh: Scale = { by: 'ruler', ruler: null, marks: spots(canvas, 0.25), set: [false, false], length: '', pixel: '', across: '' };
  if (!before) return fresh;
  const { scale, seen, times } = before;
  if (scale.by !== 'ruler') return { ...fresh, by: scale.by, pixel: scale.pixel, across: scale.across };
  if (before.canvas.width !== canvas.width || before.canvas.height !== canvas.height) return fresh;
  if (scale.ruler) return scale;
  return seen ? { ...fresh, by: 'pixel', pixel: (seen.px_um / times).toPrecision(4) } : fresh;
}

/** Puts a picture in a place. */
export function put(which: Which, name: string, canvas: HTMLCanvasElement, times: number): void {
  const before = pictures.value[which] ?? pictures.value[which === 'dust' ? 'melted' : 'dust'];
  const scale = firstScale(canvas, before);
  pictures.value = { ...pictures.value, [which]: { name, canvas, times, scale, frame: null, rosin: 'found', nudge: 0, seen: null, failed: '', busy: false } };
  void look(which);
}

/** Another scale, part, tone or level: the picture is read anew. */
export function setPicture(which: Which, next: Partial<Pick<GroundPicture, 'scale' | 'frame' | 'rosin' | 'nudge'>>): void {
  update(which, next);
  void look(which);
}

export function setScale(which: Which, next: Partial<Scale>): void {
  const now = pictures.value[which];
  if (now) setPicture(which, { scale: { ...now.scale, ...next } });
}

/** Reads the picture once its scale is known. While one reading runs only the newest wish waits for its turn. */
async function look(which: Which): Promise<void> {
  const now = pictures.value[which];
  [groundFit.value, groundFitFailed.value] = [null, ''];
  if (!now || now.busy) return;
  const { canvas, scale, frame, rosin, nudge } = now;
  const numbers = scaleNumbers(now);
  const pixels = numbers && pixelsOf(canvas);
  if (!pixels) {
    update(which, { seen: null, failed: '' });
    return;
  }
  update(which, { busy: true });
  let found: Pick<GroundPicture, 'seen' | 'failed'>;
  try {
    const corners = frame ? frame.flatMap(({ x, y }) => [x, y]) : [];
    found = {
      seen: await askStudies('read_ground_photo', which === 'melted', pixels, canvas.width, Float64Array.from(numbers), Float64Array.from(corners),
        rosin === 'found' ? undefined : rosin === 'lighter', nudge),
      failed: '',
    };
  } catch (error) {
    found = { seen: null, failed: wordsOf(error) };
  }
  const after = pictures.value[which];
  const same = after && after.canvas === canvas && after.scale === scale && after.frame === frame && after.rosin === rosin && after.nudge === nudge;
  update(which, same ? { ...found, busy: false } : { busy: false });
  if (!same) await look(which);
}

/** What both pictures tell together. */
export async function compare(of: Plan): Promise<void> {
  fitting.value = true;
  try {
    groundFit.value = await askStudies('fit_ground', of);
    groundFitFailed.value = '';
  } catch (error) {
    [groundFit.value, groundFitFailed.value] = [null, wordsOf(error)];
  } finally {
    fitting.value = false;
  }
}

/** The powder that lets land in the plan's box what landed in the shop's. */
export function takePowder(grams: number): void {
  change('powder that lands, from a picture', { ...plan.value, dust: { ...plan.value.dust, powder_g_per_m2: grams } });
}
