import { Refused } from '../engine/workerClient.ts';
import type { EditedPlan } from '../engine/protocol.ts';
import { pool } from '../engine/scheduler.ts';
import { putEdited } from './edits.ts';
import { plan } from './plan.ts';
import { said } from './results.ts';

/* Taking out, adding and moving bites; see `edits.ts`. */

let busy = false;

/** Edits the bites of the plan in hand. A second edit waits for the hand to see what the first did. */
async function edit(what: string, edited: Promise<EditedPlan>): Promise<void> {
  busy = true;
  try {
    const of = plan.value;
    const next = await edited;
    // What was changed meanwhile is the newer wish.
    if (plan.value === of) putEdited(what, next);
  } catch (error) {
    said.value = error instanceof Refused ? error.message : 'The bites could not be changed just now; the plan is as it was. Try again.';
  } finally {
    busy = false;
  }
}

/** One more value, darker than the darkest. */
export function addBite(): void {
  if (!busy) void edit('one value more', pool.ask('insert_bite', plan.value, plan.value.bites.length + 1));
}

/** Takes out bite `index`, counted from 0. */
export function removeBite(index: number): void {
  if (!busy) void edit(`value ${index + 1} removed`, pool.ask('remove_bite', plan.value, index + 1));
}

/** Takes another list of bites with where each value begins. */
export function takeBites(bites_min: number[], thresholds_l: number[]): void {
  if (busy) return;
  const edited = pool.ask('take_bites', plan.value, Float64Array.from(bites_min), Float64Array.from(thresholds_l));
  void edit(`${bites_min.length} values for this picture`, edited);
}
