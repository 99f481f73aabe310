import { signal } from '@preact/signals';
import { Pyramid, type Viewport } from '../../engine/pyramid.ts';
import { PlanWorker } from '../../engine/planWorker.ts';
import type { Answer, Args, Call } from '../../engine/calls.ts';
import type { Difference, Image, Summary } from '../../engine/protocol.ts';
import { pool } from '../../engine/scheduler.ts';
import { FIELD_PX, fieldMm } from '../../store/viewState.ts';
import { keptOf, picture } from '../../store/picture.ts';
import { earlier, plan } from '../../store/plan.ts';
import { lookedAt, pictureOf, shelf } from '../../store/shelf.ts';
import { lastState, nameWithState, stateInHand, takeWaiting, type Version } from '../../store/versions.ts';
import { grainEverywhere, mostSheetPx } from '../../engine/memory.ts';
import { explained } from '../../store/settings.ts';

/** A version under comparison and everything reckoned for it, by a worker of its own. */
export interface Side extends Version {
  key: number;
  aside: PlanWorker;
  pyramid: Pyramid;
  summary: Summary | null;
  patches: (Image | null)[];
  tester: Image | null;
  wrong: string | null;
}

/** Most plans side by side. */
export const MOST_SIDES = 3;
/** What each of them is called. */
export const LETTERS = ['A', 'B', 'C'];
/** Patches of the aligned value scales. */
const PATCH = { width_px: 100, height_px: 60, px_um: 40 };

export const sides = signal<Side[]>([]);
/** For each side after the first: what differs from the first. Null while it is being found out. */
export const differ = signal<(Difference[] | null)[]>([]);
/** Where everyone looks, as parts of each plate's width and height, and how near, css pixels per µm; 0 shows the whole. */
export const spot = signal({ u: 0.5, v: 0.5, scale: 0 });
/** Where the one linen tester stands, in the same parts. */
export const loupe = signal({ u: 0.3, v: 0.64 });
/** Raised whenever something new can be drawn. */
export const drawn = signal(0);

let lastKey = 0;
const gazes = new Map<number, () => Viewport | null>();
const testerOpen = new Set<number>();

/** The plan in hand as a version, in the state that is looked at or another. */
export function inHand(state = stateInHand(plan.value)): Version {
  return { name: nameWithState('this plan', plan.value, state), plan: plan.value, picture: keptOf(picture.value), state };
}

/** Everything that can be laid beside another plan, by name. */
export function versions(): { name: string; get: () => Promise<Version> }[] {
  const now = inHand();
  return [
    { name: now.name, get: async () => now },
    ...earlier.value.slice(0, 30).map((step, i) => {
      const name = nameWithState(`${i + 1} ${i === 0 ? 'step' : 'steps'} back, before: ${step.name}`, step.plan);
      return { name, get: async () => ({ name, plan: step.plan, picture: keptOf(step.picture) ?? (step.picture.id === picture.value.id ? keptOf(picture.value) : null) }) };
    }),
    ...otherStates().map((state) => ({ name: inHand(state).name, get: async () => inHand(state) })),
    ...shelf.value.map((kept) => {
      const name = nameWithState(`“${kept.name}”, from the shelf`, kept.plan);
      return { name, get: async () => ({ name, plan: kept.plan, picture: await pictureOf(kept) }) };
    }),
  ];
}

/** The states of the plan in hand that are not looked at, the newest first. */
function otherStates(): number[] {
  const seen = stateInHand(plan.value);
  return Array.from({ length: lastState(plan.value) }, (_, i) => lastState(plan.value) - i).filter((state) => state !== seen);
}

/** Opens the comparison: the plan in hand beside what was chosen, or beside its last version. */
export async function openCompare(): Promise<void> {
  const other = takeWaiting() ?? await (versions()[1] ?? versions()[0])?.get();
  sides.value = [];
  spot.value = { u: 0.5, v: 0.5, scale: 0 };
  addSide(inHand());
  if (other) addSide(other);
}

export function closeCompare(): void {
  for (const side of sides.value) side.aside.end();
  sides.value = [];
  gazes.clear();
}

function refresh(): void {
  drawn.value += 1;
}

function sideOf(version: Version): Side {
  lastKey += 1;
  const { width_mm, height_mm } = version.plan.plate;
  return {
    ...version, key: lastKey, aside: new PlanWorker(), pyramid: new Pyramid(width_mm, height_mm, refresh, mostSheetPx()),
    summary: null, patches: [], tester: null, wrong: null,
  };
}

export function addSide(version: Version): void {
  const side = sideOf(version);
  sides.value = [...sides.value, side];
  void work(side);
  void findDifferences();
}

export function removeSide(key: number): void {
  sides.value.find((side) => side.key === key)?.aside.end();
  sides.value = sides.value.filter((side) => side.key !== key);
  void findDifferences();
}

export function replaceSide(key: number, version: Version): void {
  const side = sideOf(version);
  sides.value = sides.value.map((old) => {
    if (old.key !== key) return old;
    old.aside.end();
    return side;
  });
  void work(side);
  void findDifferences();
}

async function findDifferences(): Promise<void> {
  const [first, ...rest] = sides.value;
  const of = sides.value;
  differ.value = rest.map(() => null);
  if (!first) return;
  const found = await Promise.all(rest.map((side) => pool.front
    .ask('differences', first.plan, side.plan)
    .then((answer) => answer.differences, () => null)));
  if (of === sides.value) differ.value = found;
}

/** Says where a side's canvas looks. */
export function lookFrom(key: number, gaze: () => Viewport | null): void {
  gazes.set(key, gaze);
}

/** The linen tester stands elsewhere: every side looks again. */
export function moveLoupe(u: number, v: number): void {
  const within = (part: number): number => Math.min(1, Math.max(0, part));
  loupe.value = { u: within(u), v: within(v) };
  for (const side of sides.value) {
    testerOpen.add(side.key);
    void lookThrough(side);
  }
}

const looking = new Set<number>();

async function lookThrough(side: Side): Promise<void> {
  if (looking.has(side.key)) return;
  looking.add(side.key);
  try {
    while (testerOpen.delete(side.key)) {
      const px_um = (fieldMm.value * 1000) / FIELD_PX;
      const half = (FIELD_PX * px_um) / 2;
      const { width_mm, height_mm } = side.plan.plate;
      side.tester = await side.aside.ask(side.plan, side.picture, 'window', [{
        place: {
          left_um: loupe.value.u * width_mm * 1000 - half, top_um: loupe.value.v * height_mm * 1000 - half,
          width_px: FIELD_PX, height_px: FIELD_PX, px_um,
        },
        show: 'print',
      }], side.state);
      refresh();
    }
  } catch {
    // The side was taken away, or `work` says what is wrong with it.
  } finally {
    looking.delete(side.key);
  }
}

/** Looks through the linen tester, prints the whole, reckons the numbers, then grain by grain where one looks. */
async function work(side: Side): Promise<void> {
  const here = (): boolean => sides.value.includes(side);
  const ask = <C extends Call>(call: C, ...args: Args<C>): Promise<Answer<C>> => side.aside.ask(side.plan, side.picture, call, args, side.state);
  try {
    // Said at once: a worker of its own would first have its module and the picture to read.
    const { wrong } = await lookedAt(JSON.stringify(side.plan));
    if (wrong[0]) throw new Error(`This plan can’t be calculated: ${explained(wrong[0])}`);
    const { firstWidth, firstHeight } = side.pyramid;
    const grey = await ask('first_pass', firstWidth, firstHeight);
    side.pyramid.setFirst(grey);
    testerOpen.add(side.key);
    await lookThrough(side);
    side.summary = await ask('summary');
    refresh();
    for (let value = 0; value <= side.plan.bites.length && here(); value++) {
      side.patches[value] = await ask('patch', value, PATCH.width_px, PATCH.height_px, PATCH.px_um);
      refresh();
    }
    while (here()) {
      const gaze = gazes.get(side.key)?.();
      const job = gaze ? side.pyramid.nextJob(gaze, 0, 1, grainEverywhere.value) : null;
      if (job) job.done(await ask('tile', ...job.tile));
      else await new Promise((resolve) => { setTimeout(resolve, 200); });
    }
  } catch (error) {
    if (!here()) return;
    side.wrong = error instanceof Error ? error.message : String(error);
    refresh();
  }
}
