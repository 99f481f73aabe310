import { signal } from '@preact/signals';
import { askLane, askStudies } from '../../engine/studies.ts';
import type { Allowed, Finding, Fit, Misfit, PhotoReading, Plan, ReadingKind, StepPlate } from '../../engine/protocol.ts';
import { wordsOf } from '../../engine/workerClient.ts';
import { rangeOf } from '../../store/catalogue.ts';
import { plan, wordAt } from '../../store/plan.ts';
import { soundPlan } from '../../store/results.ts';
import { explained } from '../../store/settings.ts';
import type { Place } from '../../ui/pointer.ts';
import { sharesOf } from '../../store/shares.ts';
import { aside, type Bench, type Beyond, FRESH, onBench } from './kept.ts';

/* The step plate that is being made or read, or a proof of the plan itself. */

/** Fewest and most steps. */
export const stepsRange = (): [least: number, most: number] => rangeOf('calibration.steps');

/** The step plate designed for the plan in hand, and why there is none. */
export const designed = signal<StepPlate | null>(null);
export const designFailed = signal('');

export const photo = signal<PhotoReading | null>(null);
export const fit = signal<Fit | null>(null);
/** What the readings say of what may be amiss; null until they were asked. */
export const misfit = signal<Misfit | null>(null);
export const fitFailed = signal('');
export const busy = signal(false);

/** Designs of one plan by their number of steps: each takes a while. */
const designs: { of: Plan | null; known: Map<number, StepPlate> } = { of: null, known: new Map() };
/** What is asked for now, and whether a design is being worked on. */
let wanted: { of: Plan; steps: number } | null = null;
let designing = false;

/** Designs the step plate. While one is being worked on only the newest wish waits for its turn. */
export async function design(of: Plan, steps: number): Promise<void> {
  wanted = { of, steps };
  if (designs.of !== of) [designs.of, designs.known] = [of, new Map()];
  const known = designs.known.get(steps);
  if (known) {
    [designed.value, designFailed.value] = [known, ''];
    // Minutes that were bitten stay; only a plate of which nothing was read begins anew with its number of steps.
    if (!onBench.value.proof && onBench.value.bite_min.length !== steps) takeDesign();
    return;
  }
  if (designing) return;
  designing = true;
  try {
    // Not behind what is got ready for the readings.
    const found = await askLane(1, 'step_plate', of, steps);
    if (designs.of === of) designs.known.set(steps, found);
  } catch (error) {
    if (wanted.of === of && wanted.steps === steps) {
      designFailed.value = wordsOf(error);
      return;
    }
  } finally {
    designing = false;
  }
  await design(wanted.of, wanted.steps);
}

/** Counts questions; an answer to one that was asked before the readings changed is worth nothing. */
let newestFind = 0;

/** What was found, or is being found, is of other readings. */
function forget(): void {
  newestFind += 1;
  busy.value = false;
  [fit.value, misfit.value, fitFailed.value] = [null, null, ''];
}

function somethingRead(): boolean {
  const { readings, beyond } = onBench.value;
  return readings.some((one) => one !== null) || beyond.some(({ reading }) => reading !== null);
}

/** What differs between one plate and another, as it is when nothing has been read. */
const unread = { out: [], allowed: FRESH.allowed, camera: null };

/** Reads a proof of the plan in hand, or a step plate; the readings of the other are kept aside. */
export function readProof(proof: boolean): void {
  const now = onBench.value;
  if (now.proof === proof) return;
  onBench.value = aside.value?.proof === proof ? aside.value : { ...FRESH, proof };
  aside.value = now;
  forget();
  [photo.value, before.value] = [null, null];
}

/** A proof has the plan's own values: minutes as planned, until what really ran is typed. */
export function takeValues(of: Plan): void {
  const now = onBench.value;
  if (!now.proof || now.bite_min.length === of.bites.length) return;
  keepBefore();
  const bite_min = of.bites.map((bite) => bite.bite_min);
  onBench.value = { ...now, ...unread, steps: bite_min.length, bite_min, readings: bite_min.map(() => null), beyond: [] };
  forget();
}

/** Another number of steps. What ran and what was read stays with its step; steps that go come back with their number. */
export function setSteps(steps: number): void {
  const now = onBench.value;
  if (steps === now.steps) return;
  forget();
  photo.value = null;
  if (!somethingRead()) {
    onBench.value = { ...now, steps, beyond: [] };
    return;
  }
  const all: Beyond[] = [...now.bite_min.map((bite_min, i) => ({ bite_min, reading: now.readings[i] ?? null })), ...now.beyond];
  // A step that nothing is known of yet: as long a bite again.
  while (all.length < steps) all.push({ bite_min: all.at(-1)?.bite_min ?? 1, reading: null });
  const shown = all.slice(0, steps);
  onBench.value = { ...now, steps, bite_min: shown.map((one) => one.bite_min), readings: shown.map((one) => one.reading), beyond: all.slice(steps) };
}

/** What stood in the table before a design or a picture took its place, to be put back; null when nothing was read then. */
export const before = signal<Bench | null>(null);

function keepBefore(): void {
  if (somethingRead()) before.value = onBench.value;
}

export function putBackBefore(): void {
  if (!before.value) return;
  const was = onBench.value;
  onBench.value = before.value;
  before.value = was.readings.some((one) => one !== null) ? was : null;
  forget();
  photo.value = null;
}

/** The designed minutes as those that ran, and nothing read yet. */
export function takeDesign(): void {
  const made = designed.value;
  if (!made) return;
  keepBefore();
  onBench.value = { ...onBench.value, ...unread, steps: made.bite_min.length, bite_min: made.bite_min, readings: made.bite_min.map(() => null), beyond: [] };
  forget();
  photo.value = null;
}

/** What the newest table is for: a plan, and minutes. */
let readyFor: { of: Plan | null; minutes: string } = { of: null, minutes: '' };

/** Shares of the plate per value where a proof of the plan was read; none of a step plate. */
const sharesRead = (of: Plan): number[] => (onBench.value.proof ? sharesOf(of) : []);

/** Begins with what takes longest, while the readings are being taken. */
export function getReady(): void {
  const [of, { bite_min }] = [soundPlan.value, onBench.value];
  const minutes = bite_min.join();
  if (!of || (readyFor.of === of && readyFor.minutes === minutes)) return;
  readyFor = { of, minutes };
  askStudies('ready_to_calibrate', of, Float64Array.from(bite_min), Float64Array.from(sharesRead(of))).catch(() => { readyFor = { of: null, minutes: '' }; });
}

export function setReading(index: number, value: number | null): void {
  getReady();
  const { steps, readings, chosen, kind, out } = onBench.value;
  const next = Array.from({ length: steps }, (_, i) => (i === index ? value : readings[i] ?? null));
  onBench.value = { ...onBench.value, readings: next, kind: chosen ? kind : looksLike(next, kind), out: out.filter((one) => one !== index) };
  forget();
}

/** No print is denser. */
export const densest = (): number => rangeOf('calibration.density')[1];

/** Densities or L*, as the numbers look: no print is so dense that the two could be mistaken. */
function looksLike(readings: (number | null)[], kind: ReadingKind): ReadingKind {
  const given = readings.filter((one) => one !== null);
  if (given.length === 0) return kind;
  if (given.some((one) => one > densest())) return 'lightness';
  return kind === 'lightness' ? 'density' : kind;
}

export function setKind(kind: ReadingKind): void {
  onBench.value = { ...onBench.value, kind, chosen: true };
  forget();
}

export function setBiteMin(index: number, value: number): void {
  const { allowed, bite_min } = onBench.value;
  // What was typed is known.
  const bites = allowed.bites.filter((one) => one !== index);
  onBench.value = { ...onBench.value, allowed: { ...allowed, bites }, bite_min: bite_min.map((old, i) => (i === index ? value : old)) };
  forget();
}

/** A reading left out of the fit, or put back: it stays in the table. */
export function leaveOut(index: number, out: boolean): void {
  const rest = onBench.value.out.filter((one) => one !== index);
  onBench.value = { ...onBench.value, out: out ? [...rest, index] : rest };
  forget();
}

export function setAllowed(allowed: Allowed): void {
  onBench.value = { ...onBench.value, allowed };
  forget();
}

/** The readings were not, or no longer, those of a photograph. */
export function withoutCamera(): void {
  onBench.value = { ...onBench.value, camera: null };
  photo.value = null;
  forget();
}

/** Takes a finding into account, and finds the constants anew. */
export function takeFinding({ what }: Finding, of: Plan): void {
  const { allowed, readings } = onBench.value;
  if (what.what === 'slip') leaveOut(what.step, true);
  if (what.what === 'bite') setAllowed({ ...allowed, bites: [...allowed.bites, what.bite] });
  if (what.what === 'ground') setAllowed({ ...allowed, ground: true });
  if (what.what === 'swapped') {
    const [one, other] = [readings[what.one] ?? null, readings[what.other] ?? null];
    keepBefore();
    onBench.value = { ...onBench.value, readings: readings.map((old, i) => (i === what.one ? other : i === what.other ? one : old)) };
    forget();
  }
  void find(of);
}

/** Finds the constants for the readings. */
export async function find(of: Plan): Promise<void> {
  const { bite_min, kind, readings, out, camera, allowed } = onBench.value;
  newestFind += 1;
  const mine = newestFind;
  busy.value = true;
  try {
    const counted = bite_min.map((_, i) => (out.includes(i) ? null : readings[i] ?? null));
    const told = await askStudies('calibrate', of, { bite_min, shares: sharesRead(of), kind, readings: counted, camera, allowed });
    if (mine !== newestFind) return;
    [fit.value, misfit.value] = [told.fit, told.misfit];
    fitFailed.value = told.refused.map(explained).join(' ');
  } catch (error) {
    if (mine !== newestFind) return;
    forget();
    fitFailed.value = wordsOf(error);
  } finally {
    if (mine === newestFind) busy.value = false;
  }
}

/** Outlines of the patches in the picture, pixels: x, y of four corners for each. */
export const patchesAt = signal<number[]>([]);
let newestPatches = 0;

/** Draws the patches anew for corners that have moved. */
export function drawPatches(corners: Place[], steps: number): void {
  newestPatches += 1;
  const mine = newestPatches;
  const take = (found: number[]): void => { if (mine === newestPatches) patchesAt.value = found; };
  if (corners.length !== 4) {
    take([]);
    return;
  }
  askLane(1, 'step_patches', steps, Float64Array.from(corners.flatMap(({ x, y }) => [x, y]))).then((found) => take([...found]), () => take([]));
}

/** Corners of the plate in a picture of its print, where it is found; rejected with the reason where it is not. */
export async function findPlate(rgba: Uint8Array, width: number, steps: number): Promise<Place[]> {
  const { corners } = await askLane(1, 'find_step_plate', rgba, width, steps);
  return corners.map(([x, y]) => ({ x, y }));
}

export async function readPicture(rgba: Uint8Array, width: number, corners: number[], greys: number[]): Promise<void> {
  busy.value = true;
  try {
    const { steps } = onBench.value;
    const found = await askLane(1, 'read_step_photo', rgba, width, steps, Float64Array.from(corners), Float64Array.from(greys), plan.value.paper.reflectance);
    forget();
    photo.value = found;
    keepBefore();
    const readings = found.patches.map((patch) => Number(patch.lightness.toFixed(1)));
    onBench.value = { ...onBench.value, kind: 'lightness', readings, out: [], camera: found.camera };
  } catch (error) {
    photo.value = null;
    fitFailed.value = wordsOf(error);
  } finally {
    busy.value = false;
  }
}

/** The bath and ink of the plan in hand, in words. */
export function aboutWords(): string {
  const { bath, ink } = plan.value;
  const base = Number(ink.base_parts ?? 0) + Number(ink.reducer_parts ?? 0);
  return [
    `${String(bath.strength_be)} °Bé, ${String(bath.temperature_c)} °C, ${wordAt(plan.value, 'bath.agitation').replace(/_/g, ' ')}`,
    `${base > 0 ? `ink with ${base} parts let down` : 'neat ink'}, wiped ${{ tarlatan: 'with tarlatan only', hand: 'with the hand', hard: 'hard' }[wordAt(plan.value, 'ink.wipe')] ?? ''}`,
  ].join('; ');
}
