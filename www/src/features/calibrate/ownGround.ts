import { signal } from '@preact/signals';
import { askStudies } from '../../engine/studies.ts';
import type { GroundFit, GroundSeen, Plan } from '../../engine/protocol.ts';
import { wordsOf } from '../../engine/workerClient.ts';
import { change, plan } from '../../store/plan.ts';

/* Two pictures of one place, dust and melted ground, and what is read of them. They stay in this page only. */

export type Place = 'dust' | 'melted';
export type RosinTone = 'found' | 'lighter' | 'darker';

/** A picture and how it is read. */
export interface GroundPicture {
  name: string; canvas: HTMLCanvasElement;
  /** Copper from left to right, mm, as typed. */
  wide: string;
  rosin: RosinTone;
  /** The level, moved towards more rosin, in shares of the distance of the two tones. */
  nudge: number;
  seen: GroundSeen | null; failed: string; busy: boolean;
}

export const pictures = signal<Record<Place, GroundPicture | null>>({ dust: null, melted: null });
export const groundFit = signal<GroundFit | null>(null);
export const groundFitFailed = signal('');
export const fitting = signal(false);

export function widthMm(wide: string): number {
  return wide.trim() === '' ? Number.NaN : Number(wide.replace(',', '.'));
}

function set(place: Place, next: Partial<GroundPicture>): void {
  const now = pictures.value[place];
  if (now) pictures.value = { ...pictures.value, [place]: { ...now, ...next } };
}

/** Puts a picture in a place; the width of the one before it is likely its own. */
export function put(place: Place, name: string, canvas: HTMLCanvasElement): void {
  const wide = pictures.value[place]?.wide ?? pictures.value[place === 'dust' ? 'melted' : 'dust']?.wide ?? '';
  pictures.value = { ...pictures.value, [place]: { name, canvas, wide, rosin: 'found', nudge: 0, seen: null, failed: '', busy: false } };
  void look(place);
}

/** Another width, tone or level: the picture is read anew. */
export function setPicture(place: Place, next: Partial<Pick<GroundPicture, 'wide' | 'rosin' | 'nudge'>>): void {
  set(place, next);
  void look(place);
}

/** Reads the picture once its width is known. While one reading runs only the newest wish waits for its turn. */
async function look(place: Place): Promise<void> {
  const now = pictures.value[place];
  [groundFit.value, groundFitFailed.value] = [null, ''];
  if (!now || now.busy) return;
  const { canvas, wide, rosin, nudge } = now;
  const pixels = canvas.getContext('2d', { willReadFrequently: true })?.getImageData(0, 0, canvas.width, canvas.height);
  if (!pixels || Number.isNaN(widthMm(wide))) {
    set(place, { seen: null, failed: '' });
    return;
  }
  set(place, { busy: true });
  let found: Pick<GroundPicture, 'seen' | 'failed'>;
  try {
    found = { seen: await askStudies('read_ground_photo', place === 'melted', new Uint8Array(pixels.data.buffer), canvas.width, widthMm(wide), rosin === 'found' ? undefined : rosin === 'lighter', nudge), failed: '' };
  } catch (error) {
    found = { seen: null, failed: wordsOf(error) };
  }
  const after = pictures.value[place];
  const same = after && after.canvas === canvas && after.wide === wide && after.rosin === rosin && after.nudge === nudge;
  set(place, same ? { ...found, busy: false } : { busy: false });
  if (!same) await look(place);
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
