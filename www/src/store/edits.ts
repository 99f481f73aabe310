import { Refused } from '../engine/workerClient.ts';
import type { EditedPlan, Plan } from '../engine/protocol.ts';
import { state } from './viewState.ts';
import { note, putAway } from './notifications.ts';
import { amend, change, plan, undo } from './plan.ts';
import { said } from './results.ts';

/*
 * Edits of the plan's lists. Rust does them and renumbers whatever names what moved; what had to give way
 * is told at the foot of the page.
 */

/** Key of the note that tells what gave way. */
const GAVE_WAY = 'gave-way';

/** The last of the edits that wait: each sees the plan that the one before left. */
let last: Promise<void> = Promise.resolve();

/** Puts an edited plan in hand. */
export function putEdited(what: string, { plan: next, notices, shown_state }: EditedPlan): void {
  putAway(GAVE_WAY);
  if (shown_state !== undefined) state.value = shown_state;
  change(what, next);
  if (!notices.length) return;
  note({ key: GAVE_WAY, words: notices.join(' '), acts: [{ name: 'undo', run: () => { putAway(GAVE_WAY); if (plan.value === next) undo(); } }] });
}

/** Adds to the last change what a plan became when it met its picture. */
export function putMet({ plan: next, notices }: EditedPlan): void {
  amend(next);
  if (notices.length > 0) note({ key: GAVE_WAY, words: notices.join(' '), acts: [] });
}

/**
 * Edits the plan in hand. `make` asks for the edit once those before it are done, or does what is needed itself and
 * gives null; what was changed while Rust was at it is edited in its turn.
 */
export function edit(what: string, make: (of: Plan) => Promise<EditedPlan> | null): Promise<void> {
  last = last.then(async () => {
    try {
      for (;;) {
        const of = plan.value;
        const asked = make(of);
        if (!asked) return;
        const edited = await asked;
        if (plan.value !== of) continue;
        putEdited(what, edited);
        return;
      }
    } catch (error) {
      putAway(GAVE_WAY);
      said.value = error instanceof Refused ? error.message : 'The plan could not be changed just now; it is as it was. Try again.';
    }
  });
  return last;
}
