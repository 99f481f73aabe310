import { computed, effect, untracked } from '@preact/signals';
import { grainEverywhere, memoryShort, mostSheetPx } from './memory.ts';
import { wantsMemory } from './outOfMemory.ts';
import { Pyramid, type Viewport } from './pyramid.ts';
import { WorkerPool, type PictureForWorkers } from './workerPool.ts';
import { ENDED, Refused, surely, WorkerLost } from './workerClient.ts';
import type { Catalogue, Crop, EditedPlan, MadeFor, PictureTaken, Plan, WindowRequest } from './protocol.ts';
import { readyToStart } from './start.ts';
import { bitesDone, CUT_UM, FIELD_PX, fieldMm, inked, lens, placeLens, printed, show, state } from '../store/viewState.ts';
import { canvasFrom, keptOf, newMark, picture, roomPx, type Picture } from '../store/picture.ts';
import { panel, type PanelName } from '../store/notifications.ts';
import { catalogue } from '../store/catalogue.ts';
import { begin, change, plan } from '../store/plan.ts';
import { readingAtHand, readingFor } from '../store/readings.ts';
import { cut, lastGood, patches, problems, progress, said, soundPlan, summary, testerView } from '../store/results.ts';
import type { KeptPicture } from '../store/pictureStore.ts';

/*
 * Who asks the workers for what, and when. Each worker does its most urgent open thing first and
 * never queues two of a kind, so that a fast drag only ever waits for its newest state.
 */

/** Patches of the value scale: 4 mm wide. */
const PATCH = { width_px: 200, height_px: 120, px_um: 20 };
/** Tiles after which the time left can be told. */
const SURE_AFTER = 4;
/** Panels that have the machine to themselves while they are open. */
const BUSY: ReadonlySet<PanelName | null> = new Set(['compare', 'strip', 'lessons', 'watch', 'pulled']);
/** Time between two looks at a proof that is growing, ms. */
const SHOWN_EVERY_MS = 240;
/** Quiet time after a change before the whole proof is begun anew, ms. */
const PROOF_AFTER_MS = 120;
/** Quiet time after a change of the crop before the picture's file is read again, ms. */
const READ_AFTER_MS = 300;

/** What is still to be done: with the front worker, and with the one for the numbers. */
const open = { check: false, picture: false, likeness: false, spacing: false, tester: false, cut: false, ahead: false, numbers: false, patches: new Set<number>() };
let checkedOnce = false;
/** What the sheet shows at first when the plan that the page opens on can't be calculated. */
let firstGood: Plan | null = null;
let spacingStep: string | null = null;
/** Size of the plate that the linen tester lies on. */
let lensOn: { width_mm: number; height_mm: number } | null = null;
let proofTimer = 0;
let showTimer = 0;
let readTimer = 0;
let startedAt = 0;
let gaze: () => Viewport | null = () => null;
let toPaper = false;
let hearMet: (met: EditedPlan) => void = () => undefined;
let hearLikeness: (like: MadeFor) => Promise<void> = async () => undefined;
let redraw: () => void = () => undefined;

/** The printed sheet; null until the first plan has been checked. */
export let pyramid: Pyramid | null = null;

/** Set by openPage before anything can ask. */
export let pool: WorkerPool;

function workerLost(words: string): void {
  if (wantsMemory(words)) {
    memoryShort.value = true;
    pool.spare();
    said.value = 'The memory of this device ran out while calculating. Your plan is safe. The proof shows every grain only where you look and under the linen tester from now on, and the rest as fine as the screen shows it.';
    return;
  }
  if (words === ENDED) {
    said.value = 'The system ended a part of the calculation, perhaps for want of memory. Your plan is safe, and the calculation goes on.';
    return;
  }
  said.value = `Something broke while calculating (${words}). Your plan is safe. If it happens again, change the last number back.`;
}

/** The proof's canvas says where it looks and how it wants to be told of news; `whole`, it is for paper and wants every grain. */
export function attachProof(where: () => Viewport | null, draw: () => void, whole = false): void {
  gaze = where;
  toPaper = whole;
  redraw = draw;
}

/** The view moved: idle workers may have something better to do. */
export function gazeMoved(): void {
  pool.feed();
}

function want(...things: ('check' | 'picture' | 'spacing' | 'tester' | 'cut')[]): void {
  for (const thing of things) open[thing] = true;
  handWork();
}

type Step = () => Promise<void>;

/** Does what `next` names, one thing after another, until it names nothing. */
function workOff(next: () => Step | null): () => void {
  let working = false;
  const run = async (): Promise<void> => {
    if (working) return;
    working = true;
    try {
      for (let step = next(); step; step = next()) {
        try {
          await surely(step);
        } catch (error) {
          // A lost worker has been replaced and the user told; a refusal leaves the old answer standing.
          if (!(error instanceof WorkerLost) && !(error instanceof Refused)) throw error;
        }
      }
    } finally {
      working = false;
    }
  };
  return () => void run();
}

const handWork = workOff(() => {
  if (open.picture) return lookAtPicture;
  if (open.likeness) return askLikeness;
  if (open.spacing) return askSpacing;
  // A checked plan is looked at before the next is checked: in a long drag the eye comes first.
  if (open.tester && checkedOnce) return askTester;
  if (open.check) return check;
  if (!checkedOnce) return null;
  if (open.cut) return askCut;
  return open.ahead ? layAhead : null;
});

const numbersWork = workOff(() => {
  if (open.numbers) return askNumbers;
  const [patch] = open.patches;
  return patch === undefined ? null : () => askPatch(patch);
});

async function lookAtPicture(): Promise<void> {
  open.picture = false;
  const now = picture.value;
  // Asked straight out, since here the answer is wanted; the plan goes to it again afterwards.
  pool.front.pictureSet = now.mark;
  pool.front.planSet = -1;
  const about = await readPicture(now);
  const { width, height, histogram, shown } = about;
  const lightness = about.lightness ?? now.lightness;
  if (picture.value.mark !== now.mark) return;
  if (lightness) pool.setPicture({ mark: now.mark, lightness, width, height });
  // To draw a picture takes ten times the memory of its lightness: a fresh worker gives it back.
  if (lightness && !now.lightness) pool.front.renew();
  picture.value = {
    ...now, width, height, histogram,
    canvas: now.canvas ?? (shown ? canvasFrom(shown) : null), lightness: now.name === null ? null : lightness,
  };
  open.likeness = now.name !== null;
}

function readPicture(now: Picture): Promise<PictureTaken> {
  const { width, height } = now;
  if (now.lightness) return pool.front.ask('take_lightness', now.lightness, width, height, now.canvas ? null : roomPx());
  return pool.front.ask('take_harbour', roomPx());
}

/** Spaces the values for the picture in hand, once a worker has read it; without a name, as part of the step just made,
 * in which the plan meets the picture for the first time. */
export function spaceValues(step: string | null): void {
  spacingStep = step;
  want('spacing');
}

/** Who takes the plan as it meets a picture for the first time. */
export function attachMet(hear: typeof hearMet): void {
  hearMet = hear;
}

/** Who is told what the picture in hand is like, once a worker has read it. */
export function attachLikeness(hear: typeof hearLikeness): void {
  hearLikeness = hear;
}

/** What the picture is like, for the plan to know it again. */
async function askLikeness(): Promise<void> {
  open.likeness = false;
  const { mark } = picture.value;
  const made_for = await pool.ask('likeness');
  if (picture.value.mark === mark) await hearLikeness(made_for);
}

async function askSpacing(): Promise<void> {
  open.spacing = false;
  const { mark } = picture.value;
  const of = plan.value;
  // By the picture as it lies on the plate, as the native program does, and by what this plan prints.
  const shown = keptOf(picture.value);
  if (shown) await readingFor(shown, of.picture.crop);
  if (picture.value.mark !== mark) return;
  pool.setLines(await linesOf(of), printed.value);
  layPicture(of);
  if (of !== soundPlan.value) await pool.tryPlan(of, state.value);
  if (spacingStep === null) {
    const met = await pool.ask('newly_met');
    if (picture.value.mark !== mark) return;
    if (plan.value === of) hearMet(met);
    else want('spacing');
    return;
  }
  const { thresholds_l } = await pool.ask('thresholds');
  if (picture.value.mark !== mark || thresholds_l.length !== plan.value.bites.length) return;
  change(spacingStep, { ...plan.value, picture: { ...plan.value.picture, thresholds_l } });
}

async function check(): Promise<void> {
  open.check = false;
  // Not a moment is waited without need: until the worker is asked, the page draws itself anew.
  const of = firstGood ?? plan.value;
  pool.setLines(of.lines ? await linesOf(of) : null, printed.value);
  layPicture(of);
  const trying = pool.tryPlan(of, state.value);
  // In one breath with the plan, so that the eye waits for one answer and not for two.
  const looking = checkedOnce ? askTester() : null;
  looking?.catch(() => undefined);
  const { problems: found } = await trying;
  // One empty list is as good as another; a new one would have every field look at it.
  if (found.length > 0 || problems.value.length > 0) problems.value = found;
  if (firstGood) {
    // Now the plan in hand itself is looked at.
    firstGood = null;
    open.check = true;
  }
  if (found.some((problem) => problem.severity === 'error')) return looking ?? undefined;
  soundPlan.value = of;
  lastGood.value = of;
  keepLensOnPicture();
  const quiet = checkedOnce ? PROOF_AFTER_MS : 0;
  checkedOnce = true;
  if (!looking) open.tester = true;
  open.numbers = true;
  open.cut = true;
  open.patches = new Set(Array.from({ length: plan.value.bites.length + 1 }, (_, i) => i));
  clearTimeout(proofTimer);
  proofTimer = window.setTimeout(printProof, quiet);
  await looking;
}

/** Gives the workers a plan's picture: as fine as its crop asks for, where that is at hand, and else as a whole until it is. */
function layPicture({ picture: { crop } }: Plan): void {
  const { mark } = picture.value;
  const whole = keptOf(picture.value);
  if (!whole) return;
  const reading = readingAtHand(whole, crop);
  clearTimeout(readTimer);
  if (!reading) readTimer = window.setTimeout(() => void readCloser(whole, crop), READ_AFTER_MS);
  const finer = reading && reading !== whole ? reading : null;
  pool.setPicture({ ...(finer ?? whole), mark: finer ? markOf(finer) : mark });
}

/** What a worker must be given of a plan's lines; null where it has none. */
async function linesOf({ lines }: Plan): Promise<PictureForWorkers | null> {
  return lines ? (await import('../store/linePictures.ts')).linesForWorkers(lines) : null;
}

/** Reads what lies on the plate from the picture's file, and has the plan printed from that. */
async function readCloser(whole: KeptPicture, crop: Crop): Promise<void> {
  const reading = await readingFor(whole, crop);
  if (reading !== whole && picture.value.id === whole.id && JSON.stringify(plan.value.picture.crop) === JSON.stringify(crop)) want('check');
}

/** Marks of readings, which no picture in hand has. */
const marks = new WeakMap<object, number>();

function markOf(reading: object): number {
  const mark = marks.get(reading) ?? newMark();
  marks.set(reading, mark);
  return mark;
}

/** A plate of another size carries the linen tester along to the same part of the picture. */
function keepLensOnPicture(): void {
  const { width_mm, height_mm } = plan.value.plate;
  if (lensOn && (lensOn.width_mm !== width_mm || lensOn.height_mm !== height_mm)) {
    placeLens((lens.value.x * width_mm) / lensOn.width_mm, (lens.value.y * height_mm) / lensOn.height_mm);
  }
  lensOn = { width_mm, height_mm };
}

/** What the linen tester lies on. */
function testerWindow(): WindowRequest {
  const px_um = (fieldMm.value * 1000) / FIELD_PX;
  const half = (FIELD_PX * px_um) / 2;
  return {
    place: { left_um: lens.value.x - half, top_um: lens.value.y - half, width_px: FIELD_PX, height_px: FIELD_PX, px_um },
    show: show.value, ...(show.value === 'copper' ? { after_bites: bitesDone.value } : {}),
  };
}

async function askTester(): Promise<void> {
  open.tester = false;
  pool.handIsAt();
  open.ahead = true;
  try {
    testerView.value = await pool.ask('window', testerWindow());
    performance.mark('linen-tester');
  } finally {
    // The numbers wait until the eye has something: on few cores they would hold it up.
    numbersWork();
  }
}

/** A hand that moves the linen tester on finds the ground laid. */
async function layAhead(): Promise<void> {
  open.ahead = false;
  open.ahead = await pool.ask('lay_ahead', testerWindow());
}

async function askNumbers(): Promise<void> {
  open.numbers = false;
  summary.value = await pool.askNumbers('summary');
  performance.mark('numbers');
}

async function askCut(): Promise<void> {
  open.cut = false;
  cut.value = await pool.ask('cut', {
    left_um: lens.value.x - CUT_UM / 2, y_um: lens.value.y, width_um: CUT_UM, after_bites: bitesDone.value, inked: inked.value,
  });
}

async function askPatch(value: number): Promise<void> {
  open.patches.delete(value);
  const pixels = await pool.askNumbers('patch', value, PATCH.width_px, PATCH.height_px, PATCH.px_um);
  const count = plan.value.bites.length + 1;
  patches.value = Array.from({ length: count }, (_, i) => (i === value ? pixels : patches.value[i] ?? null));
}

function printProof(): void {
  const { width_mm, height_mm } = plan.value.plate;
  if (pyramid?.fits(width_mm, height_mm)) pyramid.renew();
  else pyramid = new Pyramid(width_mm, height_mm, proofChanged, mostSheetPx());
  const sheet = pyramid;
  startedAt = 0;
  progress.value = { done: 0, of: sheet.tiles, seconds_left: null };
  pool.print(sheet.firstWidth, sheet.firstHeight, (grey) => {
    startedAt = performance.now();
    sheet.setFirst(grey);
    showProof();
    performance.mark('first-pass');
  }, (lane, lanes) => {
    const where = gaze();
    return where && !BUSY.has(panel.value) ? sheet.nextJob(where, lane, lanes, grainEverywhere.value || toPaper) : null;
  });
}

/** News of the proof: shown at once when it is whole, else a few times a second, so that the cores reckon and do not draw. */
function proofChanged(): void {
  if (pyramid?.done) {
    performance.mark('every-grain');
    showProof();
  } else {
    showTimer ||= window.setTimeout(showProof, SHOWN_EVERY_MS);
  }
}

function showProof(): void {
  clearTimeout(showTimer);
  showTimer = 0;
  if (!pyramid) return;
  const { tilesDone: done, tiles: of } = pyramid;
  const seconds = (performance.now() - startedAt) / 1000;
  const known = startedAt > 0 && seconds > 0.5 && done >= SURE_AFTER;
  progress.value = { done, of, seconds_left: known ? (seconds / done) * (of - done) : null };
  redraw();
}

/** What the page opens on; `good` is what of the plan can be calculated, where it can't be as it is. */
export interface First { plan: Plan; picture: Picture; good?: Plan | null }

/** Fetches the catalogue, begins on the plan that `firstPlan` finds, and starts. */
export async function openPage(firstPlan: (known: Catalogue) => Promise<First>): Promise<void> {
  await readyToStart();
  pool = new WorkerPool(workerLost);
  const known = await pool.plain('catalogue');
  const { plan: first, picture: firstPicture, good = null } = await firstPlan(known);
  firstGood = good;
  begin(first, firstPicture);
  // In the harbour: where hull, water and their edge meet.
  placeLens(first.plate.width_mm * 299, first.plate.height_mm * 638.5);
  catalogue.value = known;
  const whichPicture = computed(() => picture.value.mark);
  effect(() => {
    void whichPicture.value;
    untracked(() => want('picture', 'check'));
  });
  effect(() => {
    void [plan.value, state.value, printed.value];
    untracked(() => want('check'));
  });
  effect(() => {
    void [lens.value, fieldMm.value, show.value, show.value === 'copper' ? bitesDone.value : 0];
    untracked(() => want('tester'));
  });
  effect(() => {
    void grainEverywhere.value;
    untracked(gazeMoved);
  });
  effect(() => {
    void [lens.value, bitesDone.value, inked.value];
    untracked(() => want('cut'));
  });
}
