import type { BiteEdit } from '../reckon/protocol';
import { bench } from './desk';
import { putEdited } from './edits';
import { plan } from './plan';
import { said } from './results';

/* Taking out, adding and moving bites; see `edits.ts`. */

let busy = false;

/** Edits the bites of the plan in hand. A second edit waits for the hand to see what the first did. */
async function edit(what: string, edit: BiteEdit): Promise<void> {
  if (busy) return;
  busy = true;
  try {
    const of = plan.value;
    const edited = await bench.ask({ do: 'edit_bites', json: JSON.stringify(of), edit });
    // What was changed meanwhile is the newer wish.
    if (plan.value === of) putEdited(what, edited);
  } catch {
    said.value = 'The bites could not be changed just now; the plan is as it was. Try again.';
  } finally {
    busy = false;
  }
}

/** One more value, darker than the darkest. */
export function addBite(): void {
  void edit('one value more', { edit: 'insert', value: plan.value.bites.length + 1 });
}

/** Takes out bite `index`, counted from 0. */
export function removeBite(index: number): void {
  void edit(`value ${index + 1} taken out`, { edit: 'remove', value: index + 1 });
}

/** Takes another list of bites with where each value begins. */
export function takeBites(bites_min: number[], thresholds_l: number[]): void {
  void edit(`${bites_min.length} values for this picture`, { edit: 'take', bites_min, thresholds_l });
}
