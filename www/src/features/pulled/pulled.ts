import { signal } from '@preact/signals';
import { askLane, breakOff } from '../../engine/studies.ts';
import { wordsOf } from '../../engine/workerClient.ts';
import { opened, unreadable } from '../../store/opened.ts';
import { plateId } from '../../store/plan.ts';
import { readPhotograph } from '../../store/recorded.ts';
import { photographOf, readRecords, records } from '../../store/records.ts';
import { today } from '../../store/today.ts';
import { type Grey, greyNumbers, soundGrey } from '../../ui/KnownGreys.tsx';
import type { Place } from '../../ui/pointer.ts';
import { letGoWorkers, type Photo, plateWorker, type Pulled, readInWorker } from './asking.ts';
import { layOut } from './looking.ts';
import { NoSubject, subjectOf } from './subject.ts';

/* The proof that is read: its photograph, what was read of it, why it prints so, and what next. */

/** Longest side looked at, pixels. */
const LONGEST = 3200;

/** Which of the studies’ workers weighs causes. */
const CAUSES = 1;

export const pulled = signal<Pulled | null>(null);
/** The one before, to go back to. */
export const before = signal<Pulled | null>(null);
/** A file that is no picture, a plate whose plan is not here. */
export const refusal = signal('');
/** What is being done, in words. */
export const doing = signal('');

let newest = 0;
/** Gives back what the panel has taken on; what was read stays to be looked at again. */
export function letGo(): void {
  newest += 1;
  doing.value = '';
  letGoWorkers(false);
}

/** Leaves off; the photograph and what was read before stay. */
export function stop(): void {
  letGo();
  letGoWorkers(true);
  breakOff();
  breakOff(CAUSES);
  const of = pulled.value;
  if (of && !of.reading) patch(of.photo, { failed: 'Stopped. The photograph stays; read it when you like.' });
  else if (of && !of.told) patch(of.photo, { unexplained: 'Stopped before the causes were weighed.' });
}

const patch = (of: Photo, change: Partial<Pulled>): void => {
  if (pulled.value?.photo === of) pulled.value = { ...pulled.value, ...change };
};

/** Where the marks stand as long as nobody knows better. */
function guessed({ width, height }: HTMLCanvasElement): Place[] {
  return [[0.15, 0.15], [0.85, 0.15], [0.85, 0.85], [0.15, 0.85]].map(([x = 0, y = 0]) => ({ x: x * width, y: y * height }));
}

/** A name for a file by its bytes, so that the same photograph is the same proof (FNV-1a, twice). */
function nameOf(bytes: Uint8Array): string {
  let [a, b] = [0x811c9dc5, 0x01000193 ^ bytes.length];
  for (const byte of bytes) {
    a = Math.imul(a ^ byte, 0x01000193);
    b = Math.imul(b + byte, 0x85ebca6b) ^ (b >>> 13);
  }
  return `p${(a >>> 0).toString(36)}${(b >>> 0).toString(36)}`;
}

async function take(blob: Blob, photo: Omit<Photo, 'canvas'>, plate: string, state: number): Promise<void> {
  refusal.value = '';
  try {
    const subject = await subjectOf(plate, state);
    const file = blob instanceof File ? blob : new File([blob], photo.name);
    const { canvas } = await opened(file, LONGEST);
    if (pulled.value?.reading) before.value = pulled.value;
    pulled.value = {
      photo: { ...photo, canvas }, subject, places: guessed(canvas), byHand: false, greys: [], squares: null, reading: null, found: null, how: null,
      told: null, next: new Map(), cause: 0, failed: '', unexplained: '', undrawn: false,
    };
  } catch (error) {
    refusal.value = error instanceof NoSubject ? error.message : unreadable(photo.name, error);
    return;
  }
  await read();
}

/** Takes a photograph of a proof of the plan in hand. */
export async function takeFile(file: File): Promise<void> {
  const id = nameOf(new Uint8Array(await file.arrayBuffer().catch(() => new ArrayBuffer(0))));
  await take(file, { id, at: today(file.lastModified || Date.now()), name: file.name || 'the photograph' }, plateId.value, 0);
}

/** Takes a photograph that stands in a plate's record. */
export async function takeRecorded(id: string): Promise<void> {
  if (pulled.value?.photo.id === id) return;
  await readRecords();
  const record = [...records.value.values()].find(({ photographs }) => photographs.some((one) => one.id === id));
  const one = record?.photographs.find((photograph) => photograph.id === id);
  const blob = await photographOf(id);
  if (readPhotograph.value !== id) return;
  if (!record || !one || !blob) {
    refusal.value = 'This photograph is not here: choose it anew.';
    return;
  }
  await take(blob, { id, at: one.at, name: one.caption || 'the photograph in the record' }, record.id, one.of);
}

/** Back to the photograph before, with all that was read of it. */
export function goBack(): void {
  if (!before.value) return;
  stop();
  [pulled.value, before.value, refusal.value] = [before.value, null, ''];
}

/** Reads the photograph, with corners and greys as they stand, and explains it. */
export async function read(): Promise<void> {
  const of = pulled.value;
  if (!of) return;
  const { photo, subject } = of;
  newest += 1;
  const mine = newest;
  const here = (): boolean => mine === newest && pulled.value?.photo === photo;
  try {
    doing.value = 'The plan’s proof is laid out.';
    const squares = of.squares ?? await plateWorker().ask(subject.plan, subject.picture, 'proof_squares', [], subject.state);
    if (!here()) return;
    doing.value = 'The print is looked for in the photograph, and read.';
    const how = { corners: of.byHand ? of.places.flatMap(({ x, y }) => [x, y]) : [], greys: greyNumbers(of.greys.filter(soundGrey)) };
    const found = await readInWorker({ photo, squares }, how);
    if (!here()) return;
    const { reading } = found;
    const places = reading.corners.map(([x, y]) => ({ x, y }));
    patch(photo, { squares, reading, found, how, places, failed: '', unexplained: '', undrawn: false, told: null, next: new Map(), cause: 0 });
    const now = pulled.value;
    // First what is to be looked at: on two cores one worker does both.
    if (now) await draw(now);
    if (here()) await explain(here);
  } catch (error) {
    if (here()) patch(photo, { failed: wordsOf(error), reading: null, found: null, how: null, told: null });
  } finally {
    if (mine === newest) doing.value = '';
  }
}

/** Draws both prints. */
export async function draw(of: Pulled): Promise<void> {
  patch(of.photo, { undrawn: false });
  await layOut(of).catch(() => patch(of.photo, { undrawn: true }));
}

async function explain(here: () => boolean): Promise<void> {
  const of = pulled.value;
  if (!of?.found) return;
  const { shares, seen } = of.found;
  try {
    doing.value = 'Causes are weighed against each other.';
    // Beside the worker that squares up what is looked at.
    const told = await askLane(CAUSES, 'explain_proof', of.subject.plan, Float64Array.from(shares), seen);
    if (!here()) return;
    patch(of.photo, { told });
    await suppose(0);
  } catch (error) {
    if (here()) patch(of.photo, { unexplained: wordsOf(error) });
  }
}

/** What next, if this cause is the one. */
export async function suppose(cause: number): Promise<void> {
  const of = pulled.value;
  const as_found = of?.told?.causes[cause]?.as_found;
  if (!of?.found || !as_found) return;
  patch(of.photo, { cause });
  if (of.next.has(cause)) return;
  try {
    const next = await askLane(CAUSES, 'after_proof', of.subject.plan, Float64Array.from(of.found.shares), as_found, new Float64Array());
    const now = pulled.value;
    if (now?.told === of.told) patch(of.photo, { next: new Map([...now?.next ?? [], [cause, next]]) });
  } catch (error) {
    if (pulled.value?.told === of.told) patch(of.photo, { unexplained: wordsOf(error) });
  }
}

/** Reads it on the plan in hand as it is now. */
export async function onPlanNow(): Promise<void> {
  const of = pulled.value;
  if (!of) return;
  try {
    const subject = await subjectOf(of.subject.plate, of.subject.state);
    patch(of.photo, { subject, squares: null });
    await read();
  } catch (error) {
    refusal.value = wordsOf(error);
  }
}

/** Marks moved by hand. */
export function moveCorners(places: Place[]): void {
  if (pulled.value) pulled.value = { ...pulled.value, places, byHand: true };
}

export function setGreys(greys: Grey[]): void {
  if (pulled.value) pulled.value = { ...pulled.value, greys };
}

/** The corners are to be found anew. */
export function findAnew(): void {
  if (pulled.value) pulled.value = { ...pulled.value, byHand: false };
  void read();
}
