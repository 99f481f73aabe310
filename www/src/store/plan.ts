import { computed, signal, useComputed } from '@preact/signals';
import type { Area, Choice, Field, Plan, TonePoint } from '../engine/protocol.ts';
import { catalogue, limitsOf, toStep } from './catalogue.ts';
export { catalogue } from './catalogue.ts';
import { fitCrop, inOrder } from './crop.ts';
import { HARBOUR, picture, type Picture } from './picture.ts';
import { newId } from './pictureStore.ts';

/** The plan in hand. Replaced whole at each change, never altered in place. */
export const plan = signal<Plan>({
  platewright: 1, model: 0, title: '', notes: '', seed: 0,
  plate: { width_mm: 0, height_mm: 0, thickness_mm: 0, bevel_mm: 0, corner_radius_mm: 0 },
  paper: { reflectance: 0, margin_mm: 0 },
  picture: { source: 'harbour', crop: { left: 0, top: 0, width: 1, height: 1 }, exposure_stops: 0, contrast: 1, thresholds_l: [], smallest_mm: 0 },
  dust: {} as Plan['dust'], bake: {} as Plan['bake'], bath: {} as Plan['bath'], bites: [], ink: {} as Plan['ink'],
});

/**
 * What a part of the page needs of the plan: it is drawn anew only when this has changed. `pick` may look at
 * signals and at what stays the same for as long as the part is shown.
 */
export function usePlan<T>(pick: (of: Plan) => T): T {
  return useComputed(() => pick(plan.value)).value;
}

/** What the plate of the plan in hand goes by: its record is kept under that. It stays through every change of the plan. */
export const plateId = signal(newId());

export interface Step { name: string; plan: Plan; picture: Picture; plateId: string }

/** Longest history kept. */
const LONGEST = 200;
/** Changes of one thing within this time (ms) are one step. */
const ONE_STROKE_MS = 900;

const past = signal<Step[]>([]);
const future = signal<Step[]>([]);
let lastStroke = { what: '', at: 0 };

/** Names of the changes that undo and redo would make, or null. */
export const undoName = computed(() => past.value.at(-1)?.name ?? null);
export const redoName = computed(() => future.value.at(-1)?.name ?? null);
/** The plans they lead to. */
export const undoStep = computed(() => past.value.at(-1) ?? null);
export const redoStep = computed(() => future.value.at(-1) ?? null);
/** Every earlier version still known, newest first. */
export const earlier = computed(() => [...past.value].reverse());

/** Puts a new plan in hand. `what` names the change; quick changes of the same `what` are one step. `nextPlate`: the piece of copper that it is for. */
export function change(what: string, next: Plan, nextPicture: Picture = picture.value, nextPlate = plateId.value): void {
  const now = performance.now();
  const sameStroke = what === lastStroke.what && now - lastStroke.at < ONE_STROKE_MS;
  lastStroke = { what, at: now };
  if (!sameStroke) {
    past.value = [...past.value.slice(-LONGEST), { name: what, plan: plan.value, picture: picture.value, plateId: plateId.value }];
  }
  future.value = [];
  picture.value = nextPicture;
  plateId.value = nextPlate;
  plan.value = next;
}

/** What `make` makes of the plan in hand as it then is: what was changed while it was at it is not lost. */
export async function made(make: (of: Plan) => Promise<Plan>): Promise<Plan> {
  for (;;) {
    const of = plan.value;
    const next = await make(of);
    if (plan.value === of) return next;
  }
}

/** Adds to the last change what was found out after it, without a step of its own. */
export function amend(next: Plan): void {
  plan.value = next;
}

/** What comes next is a step of its own, however quickly it comes. */
export function endStroke(): void {
  lastStroke = { what: '', at: 0 };
}

/** The plan the page starts with: no step to undo. */
export function begin(first: Plan, firstPicture: Picture = HARBOUR): void {
  past.value = [];
  future.value = [];
  picture.value = firstPicture;
  plan.value = first;
}

function travel(from: typeof past, to: typeof past): void {
  const step = from.value.at(-1);
  if (!step) return;
  lastStroke = { what: '', at: 0 };
  from.value = from.value.slice(0, -1);
  to.value = [...to.value, { name: step.name, plan: plan.value, picture: picture.value, plateId: plateId.value }];
  picture.value = step.picture;
  plateId.value = step.plateId;
  plan.value = step.plan;
}

export function undo(): void { travel(past, future); }
export function redo(): void { travel(future, past); }

type Holder = Record<string, number | string | boolean>;

/** The part of the plan that a key such as `dust.wait_s` lies in, and the name within it. */
function place(of: Plan, key: string): [keyof Plan, string, Holder] {
  const [part = '', name = ''] = key.split('.');
  const at = part as keyof Plan;
  return [at, name, of[at] as unknown as Holder];
}

export function numberAt(of: Plan, key: string): number {
  const [, name, holder] = place(of, key);
  return Number(holder[name]);
}

export function wordAt(of: Plan, key: string): string {
  const [, name, holder] = place(of, key);
  return String(holder[name]);
}

export function withEntry(of: Plan, key: string, value: number | string | boolean): Plan {
  const [part, name, holder] = place(of, key);
  return { ...of, [part]: { ...holder, [name]: value } };
}

export function setNumber(field: Field, value: number): void {
  const what = field.label.toLowerCase();
  if (field.key === 'plate.width_mm' || field.key === 'plate.height_mm') inOrder(() => setPlateSide(what, field.key, value));
  else if (numberAt(plan.value, field.key) !== value) change(what, withEntry(plan.value, field.key, value));
}

/** A plate of another shape takes another part of the picture: both are one change. */
async function setPlateSide(what: string, key: string, value: number): Promise<void> {
  if (numberAt(plan.value, key) === value) return;
  const { picture: { crop } } = await fitCrop(withEntry(plan.value, key, value), plan.value, picture.value).catch(() => plan.value);
  const next = withEntry(plan.value, key, value);
  change(what, { ...next, picture: { ...next.picture, crop } });
}

export function setChoice(choice: Choice, word: string): void {
  const yesNo = word === 'true' || word === 'false';
  change(choice.label.toLowerCase(), withEntry(plan.value, choice.key, yesNo ? word === 'true' : word));
}

export function setText(what: 'title' | 'notes', text: string): void {
  change(what, { ...plan.value, [what]: text });
}

export function setBite(index: number, minutes: number): void {
  if (plan.value.bites[index]?.bite_min === minutes) return;
  const bites = plan.value.bites.map((bite, i) => (i === index ? { ...bite, bite_min: minutes } : bite));
  change(`bite ${index + 1}`, { ...plan.value, bites });
}

/** A plan's areas by hand; a plan without any says nothing of them. */
export function withAreas(areas: Area[] | undefined): { areas?: Area[] } {
  return areas?.length ? { areas } : {};
}

/** Sets the points of the curve that the picture's tones go through; without points a plan says nothing of them. */
export function setTonePoints(what: string, points: TonePoint[]): void {
  const { tone_points: _, ...rest } = plan.value.picture;
  change(what, { ...plan.value, picture: { ...rest, ...(points.length > 0 && { tone_points: points }) } });
}

/** A plan that leaves its picture's tones as they are. */
export function withOwnTones(of: Plan): Plan {
  const { tone_points: _, ...rest } = of.picture;
  const example = catalogue.value?.default_plan.picture;
  return example ? { ...of, picture: { ...rest, exposure_stops: example.exposure_stops, contrast: example.contrast } } : of;
}

export function setThresholds(what: string, levels: number[]): void {
  change(what, { ...plan.value, picture: { ...plan.value.picture, thresholds_l: levels } });
}

/** Moves one threshold, keeping it between its neighbours. */
export function setThreshold(index: number, level: number): void {
  const levels = plan.value.picture.thresholds_l;
  const { min, max, step } = limitsOf('picture.thresholds_l');
  const lighter = index > 0 ? (levels[index - 1] ?? max) - step : max;
  const darker = index < levels.length - 1 ? (levels[index + 1] ?? min) + step : min;
  const kept = toStep({ min: darker, max: lighter, step }, level);
  if (levels[index] === kept) return;
  setThresholds(`where value ${index + 1} begins`, levels.map((old, i) => (i === index ? kept : old)));
}
