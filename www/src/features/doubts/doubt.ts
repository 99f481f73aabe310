import { effect, signal } from '@preact/signals';
import { Refused, WorkerLost } from '../../engine/workerClient.ts';
import type { Constant, Sensitivity } from '../../engine/protocol.ts';
import { pool } from '../../engine/scheduler.ts';
import { catalogue } from '../../store/catalogue.ts';
import { soundPlan } from '../../store/results.ts';

/** For the palest, the middle and the darkest value. */
export type Three = [number, number, number];

/** What is asked about a plan: one constant after another, as long as somebody looks. */
export const doubts = signal<{ of: number; tried: number; found: { constant: Constant; doubt: Sensitivity }[] }>({ of: 0, tried: 0, found: [] });

/** Least movement worth telling, L*. */
const NOTHING_L = 0.05;

/** Tries every constant on the newest sound plan, and again after each change; gives the way to stop. */
export function tryConstants(): () => void {
  let round = 0;
  const stop = effect(() => {
    if (!soundPlan.value) return;
    round += 1;
    void tryAll(round);
  });
  async function tryAll(mine: number): Promise<void> {
    // The quick ones first: those of ink and bath leave the ground as it is.
    const constants = (catalogue.value?.constants ?? []).map((constant, place) => ({ constant, place })).reverse();
    doubts.value = { of: constants.length, tried: 0, found: [] };
    for (const { constant, place } of constants) {
      let found: Sensitivity | null = null;
      try {
        found = await pool.askNumbers('doubt', place);
      } catch (error) {
        if (!(error instanceof WorkerLost) && !(error instanceof Refused)) throw error;
      }
      if (mine !== round) return;
      const { of, tried, found: before } = doubts.value;
      const told = found && spread(found) >= NOTHING_L ? [...before, { constant, doubt: found }] : before;
      doubts.value = { of, tried: tried + 1, found: told.sort((a, b) => spread(b.doubt) - spread(a.doubt)) };
    }
  }
  return () => {
    round += 1;
    stop();
  };
}

/** How far each of the three values moves, L*. */
export function spreads({ lightness, lightness_at_min, lightness_at_max }: Sensitivity): Three {
  const of = (i: 0 | 1 | 2): number => {
    const at = [lightness[i], lightness_at_min[i], lightness_at_max[i]];
    return Math.max(...at) - Math.min(...at);
  };
  return [of(0), of(1), of(2)];
}

/** How far the one of them moves that moves most, L*. */
export function spread(doubt: Sensitivity): number {
  return Math.max(...spreads(doubt));
}
