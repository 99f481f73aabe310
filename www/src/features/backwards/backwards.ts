import { signal } from '@preact/signals';
import { Refused, WorkerLost, wordsOf } from '../../engine/workerClient.ts';
import { askLane, askStudies, breakOff, lanes } from '../../engine/studies.ts';
import type { Inverse, Band, Plan, PlateOf, Rounding, Spread } from '../../engine/protocol.ts';
import { change, plan } from '../../store/plan.ts';
import { sharesOf } from '../../store/shares.ts';

/* What the panel “Plan backwards” asks for and what it has found. */

export type Ask = 'even' | 'picture' | 'own';

/** What was last asked for, for as long as the page is open. */
export const ask = signal<Ask>('even');
/** Down to the very darkest, where the ground is near breaking down. */
export const toTheEnd = signal(false);
export const timed = signal<Rounding>('by_hand');
/** L* per value when each is typed or picked. */
export const own = signal<number[]>([]);
/** Bites that have run already; their minutes are the plan's. */
export const done = signal(0);

export const found = signal<Inverse | null>(null);
/** Why there is no answer. */
export const failed = signal('');
export const busy = signal(false);

let newest = 0;

/** Finds the minutes for what is asked of this plan. */
export async function seek(of: Plan, histogram: number[]): Promise<void> {
  newest += 1;
  const mine = newest;
  const inHand: PlateOf = { plan: of, shares: sharesOf(of) };
  busy.value = true;
  try {
    const wanted = ask.value === 'own' && own.value.length === of.bites.length
      ? own.value
      : await askStudies('wanted', inHand, Uint32Array.from(ask.value === 'picture' ? histogram : []), toTheEnd.value);
    if (mine !== newest) return;
    const bitten_min = of.bites.slice(0, done.value).map((bite) => bite.bite_min);
    const answer = await askStudies('backwards', inHand, Float64Array.from(wanted), Float64Array.from(bitten_min), timed.value);
    if (mine !== newest) return;
    found.value = answer;
    failed.value = '';
  } catch (error) {
    if (mine === newest) failed.value = wordsOf(error);
    if (!(error instanceof Refused) && !(error instanceof WorkerLost) && !(error instanceof Error)) throw error;
  } finally {
    if (mine === newest) busy.value = false;
  }
}

/** Leaves off seeking: what was found before stays, and is marked as an answer to what was asked then. */
export function stop(): void {
  newest += 1;
  busy.value = false;
  failed.value = found.value ? '' : 'Stopped. Ask for something else, or open this again.';
  breakOff();
}

/** Takes minutes into the plan, in one step that can be undone. */
export function takeMinutes(what: string, minutes: number[]): void {
  const bites = plan.value.bites.map((bite, i) => ({ ...bite, bite_min: minutes[i] ?? bite.bite_min }));
  change(what, { ...plan.value, bites });
}

/** Prints that a band is drawn from, and how many are asked for at a time. */
const MOST_DRAWS = 200;
const AT_A_TIME = 4;

export interface Sureness { bands: Band[]; draws: number; of: number }

/**
 * Prints the plan again and again, a little off each time, and tells the bands as they grow. The
 * prints are numbered, so that it does not matter which worker makes which. Gives the way to stop.
 */
export function drawBands(of: Plan, spread: Spread, tell: (found: Sureness) => void, fail: (words: string) => void): () => void {
  const inHand: PlateOf = { plan: of, shares: sharesOf(of) };
  const values = of.bites.length + 1;
  const batches: (number[] | undefined)[] = [];
  let next = 0;
  let told = 0;
  let on = true;
  const lane = async (worker: number): Promise<void> => {
    while (on && next * AT_A_TIME < MOST_DRAWS) {
      const batch = next;
      next += 1;
      batches[batch] = [...await askLane(worker, 'draws', inHand, spread, batch * AT_A_TIME, AT_A_TIME)];
      // Only an unbroken row from the first, so that every machine tells the same.
      const gap = batches.findIndex((one) => !one);
      const ready = gap < 0 ? batches.length : gap;
      if (ready <= told || !on) continue;
      told = ready;
      const bands = await askLane(worker, 'bands', Float64Array.from(batches.slice(0, ready).flatMap((one) => one ?? [])), values);
      if (on && ready === told) tell({ bands, draws: ready * AT_A_TIME, of: MOST_DRAWS });
    }
  };
  Promise.all(Array.from({ length: lanes }, (_, worker) => lane(worker))).catch((error: unknown) => { if (on) fail(wordsOf(error)); });
  return () => { on = false; };
}
