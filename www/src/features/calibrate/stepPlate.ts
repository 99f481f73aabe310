import { signal } from '@preact/signals';
import { askLane, askStudies } from '../../engine/studies.ts';
import type { Fit, PhotoReading, Plan, ReadingKind, StepPlate } from '../../engine/protocol.ts';
import { wordsOf } from '../../engine/workerClient.ts';
import { rangeOf } from '../../store/catalogue.ts';
import { persisted } from '../../store/persisted.ts';
import { plan, wordAt } from '../../store/plan.ts';
import { soundPlan } from '../../store/results.ts';

/* The step plate that is being made or read. It is kept in the browser: days may lie between bite and reading. */

/** One step beyond those that are shown: it comes back with the number of steps. */
interface Beyond { bite_min: number; reading: number | null }

/** Steps, minutes of each bite as they really ran, and what was read; null where nothing was. */
export interface Bench { steps: number; bite_min: number[]; readings: (number | null)[]; kind: ReadingKind; beyond: Beyond[] }

/** Fewest and most steps. */
export const stepsRange = (): [least: number, most: number] => rangeOf('calibration.steps');

const FRESH: Bench = { steps: 8, bite_min: [], readings: [], kind: 'lightness', beyond: [] };

export const onBench = persisted<Bench>('platewright.step-plate', FRESH, (kept) => {
  const { steps = 8, bite_min = [], readings = [], kind = 'lightness', beyond = [] } = kept as Partial<Bench>;
  const [fewest, most] = stepsRange();
  const sound = Number.isInteger(steps) && steps >= fewest && steps <= most && Array.isArray(bite_min) && Array.isArray(readings)
    && bite_min.every((m) => typeof m === 'number') && readings.every((r) => r === null || typeof r === 'number')
    && ['lightness', 'density', 'density_over_paper'].includes(kind)
    && Array.isArray(beyond) && beyond.length <= most && beyond.every((one) => typeof one.bite_min === 'number' && (one.reading === null || typeof one.reading === 'number'));
  return sound ? { steps, bite_min, readings, kind, beyond } : FRESH;
});

/** The step plate designed for the plan in hand, and why there is none. */
export const designed = signal<StepPlate | null>(null);
export const designFailed = signal('');

export const photo = signal<PhotoReading | null>(null);
export const fit = signal<Fit | null>(null);
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
    if (onBench.value.bite_min.length !== steps) takeDesign();
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

function somethingRead(): boolean {
  const { readings, beyond } = onBench.value;
  return readings.some((one) => one !== null) || beyond.some(({ reading }) => reading !== null);
}

/** Another number of steps. What ran and what was read stays with its step; steps that go come back with their number. */
export function setSteps(steps: number): void {
  const now = onBench.value;
  if (steps === now.steps) return;
  [photo.value, fit.value, fitFailed.value] = [null, null, ''];
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
  [photo.value, fit.value, fitFailed.value] = [null, null, ''];
}

/** The designed minutes as those that ran, and nothing read yet. */
export function takeDesign(): void {
  const made = designed.value;
  if (!made) return;
  keepBefore();
  onBench.value = { ...onBench.value, steps: made.bite_min.length, bite_min: made.bite_min, readings: made.bite_min.map(() => null), beyond: [] };
  [photo.value, fit.value, fitFailed.value] = [null, null, ''];
}

/** What the newest table is for: a plan, and minutes. */
let readyFor: { of: Plan | null; minutes: string } = { of: null, minutes: '' };

/** Begins with what takes longest, while the readings are being taken. */
export function getReady(): void {
  const [of, { bite_min }] = [soundPlan.value, onBench.value];
  const minutes = bite_min.join();
  if (!of || (readyFor.of === of && readyFor.minutes === minutes)) return;
  readyFor = { of, minutes };
  askStudies('ready_to_calibrate', of, Float64Array.from(bite_min)).catch(() => { readyFor = { of: null, minutes: '' }; });
}

export function setReading(index: number, value: number | null): void {
  getReady();
  const { steps, readings } = onBench.value;
  onBench.value = { ...onBench.value, readings: Array.from({ length: steps }, (_, i) => (i === index ? value : readings[i] ?? null)) };
  fit.value = null;
}

export function setKind(kind: ReadingKind): void {
  onBench.value = { ...onBench.value, kind };
  [fit.value, fitFailed.value] = [null, ''];
}

export function setBiteMin(index: number, value: number): void {
  onBench.value = { ...onBench.value, bite_min: onBench.value.bite_min.map((old, i) => (i === index ? value : old)) };
  fit.value = null;
}

/** Finds the constants for the readings. */
export async function find(of: Plan): Promise<void> {
  const { bite_min, kind, readings } = onBench.value;
  busy.value = true;
  try {
    fit.value = (await askStudies('calibrate', of, Float64Array.from(bite_min), kind, bite_min.map((_, i) => readings[i] ?? null))).fit;
    fitFailed.value = '';
  } catch (error) {
    fit.value = null;
    fitFailed.value = wordsOf(error);
  } finally {
    busy.value = false;
  }
}

export async function readPicture(rgba: Uint8Array, width: number, corners: number[], black: number[]): Promise<void> {
  busy.value = true;
  try {
    const { steps } = onBench.value;
    const found = await askLane(1, 'read_step_photo', rgba, width, steps, Float64Array.from(corners), Float64Array.from(black), plan.value.paper.reflectance);
    photo.value = found;
    fitFailed.value = '';
    fit.value = null;
    keepBefore();
    onBench.value = { ...onBench.value, kind: 'lightness', readings: found.patches.map((patch) => Number(patch.lightness.toFixed(1))) };
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
