import { signal } from '@preact/signals';
import type { Fault, FaultInfo, FaultSize, Plan } from '../../engine/protocol.ts';
import { pool } from '../../engine/scheduler.ts';
import { askStudies } from '../../engine/studies.ts';
import { Refused } from '../../engine/workerClient.ts';
import { limitsOf } from '../../store/catalogue.ts';
import { edit } from '../../store/edits.ts';
import { faultKinds } from '../../store/faults.ts';
import { openStep } from '../../store/place.ts';
import { change, endStroke, made, plan } from '../../store/plan.ts';
import { said } from '../../store/results.ts';
import { pane } from '../../store/settings.ts';
import { placeLens } from '../../store/viewState.ts';

/* Faults as choices of the plan. What each is, where it shows and how bad a size is come from Rust. */

export type Kind = FaultInfo['kind'];

/** How bad a fault is from a size on; with the kinds, as soon as something of them is shown. */
export const faultSizes = signal<FaultSize[]>([]);
/** The fault of the plan that is being changed, counted from 0; null for none. */
export const held = signal<number | null>(null);

let coming: Promise<void> | null = null;

/** Has what is known of faults fetched, once. */
export function learnFaults(): Promise<void> {
  coming ??= Promise.all([askStudies('faults'), askStudies('fault_sizes')]).then(([kinds, sizes]) => {
    faultSizes.value = sizes;
    faultKinds.value = kinds;
  }).catch((error: unknown) => { coming = null; throw error; });
  return coming;
}

export function infoOf(kind: Kind): FaultInfo | undefined {
  return faultKinds.value.find((info) => info.kind === kind);
}

export const nameOf = (kind: Kind): string => infoOf(kind)?.name ?? kind;

/** The last of the sizes that this one reaches. */
const reached = (size: number): FaultSize | undefined => faultSizes.value.filter(({ from }) => from <= size).at(-1);

/** How bad a size is, in words; and as one of several to choose from. */
export const sizeWords = (size: number): string => reached(size)?.words ?? '';
export const shortSize = (size: number): string => reached(size)?.short ?? '';

/** Cells of the coarse map of values along a plate's width, and along its height. */
export function mapCells({ plate: { width_mm, height_mm } }: Plan): [number, number] {
  const longest = 128;
  const cells = (mm: number): number => Math.max(8, Math.round((longest * mm) / Math.max(width_mm, height_mm)));
  return [cells(width_mm), cells(height_mm)];
}

/** A fault of a kind where it shows on the plate in hand. */
export async function faultFor(kind: Kind, of: Plan): Promise<Fault> {
  const [columns, rows] = mapCells(of);
  return askStudies('fault_here', of, kind, await pool.ask('values_map', columns, rows), columns);
}

/** A plan with other faults; one without any says nothing of them. */
export function withFaults(of: Plan, faults: Fault[]): Plan {
  const { faults: _, ...rest } = of;
  return faults.length > 0 ? { ...rest, faults } : rest;
}

export const faultsFull = (of: Plan): boolean => (of.faults?.length ?? 0) >= limitsOf('faults').max;

/** Adds a fault of a kind where it shows, and takes it in hand. */
export async function addFault(kind: Kind): Promise<void> {
  try {
    const next = await made(async (of) => withFaults(of, [...(of.faults ?? []), await faultFor(kind, of)]));
    endStroke();
    change(`${nameOf(kind)} added`, next);
    held.value = (next.faults?.length ?? 1) - 1;
  } catch (error) {
    said.value = error instanceof Refused ? error.message : 'The fault could not be added just now; the plan is as it was. Try again.';
  }
}

/** Takes a fault that was weighed into the plan, as it is. */
export function takeFault(fault: Fault): void {
  const faults = [...(plan.value.faults ?? []), fault];
  endStroke();
  change(`${nameOf(fault.kind)} added`, withFaults(plan.value, faults));
  held.value = faults.length - 1;
  openStep.value = infoOf(fault.kind)?.step ?? openStep.value;
}

export function removeFault(index: number): void {
  const faults = plan.value.faults ?? [];
  const gone = faults[index];
  if (!gone) return;
  held.value = null;
  endStroke();
  change(`${nameOf(gone.kind)} removed`, withFaults(plan.value, faults.filter((_, i) => i !== index)));
}

/** Changes something of a fault; `what` names it for undo. */
export function setFault(index: number, what: string, next: Partial<Fault>): void {
  const faults = plan.value.faults ?? [];
  const old = faults[index];
  if (!old || (Object.keys(next) as (keyof Fault)[]).every((key) => old[key] === next[key])) return;
  change(`${what} of the ${nameOf(old.kind)}`, withFaults(plan.value, faults.map((one, i) => (i === index ? { ...old, ...next } : one))));
}

/** Puts the linen tester where a fault shows. */
export async function lookAtFault(fault: Fault): Promise<void> {
  const [x, y] = await askStudies('fault_middle', fault);
  placeLens(x * 1000, y * 1000);
  pane.value = 'tester';
}

/** Adds the work that mends a fault, in a later state. */
export function mendFault(index: number): void {
  void edit('a fault mended', (of) => askStudies('mend_fault', of, index + 1));
}
