import { signal } from '@preact/signals';
import { PlanWorker } from '../../engine/planWorker.ts';
import type { Exercise, Plan } from '../../engine/protocol.ts';
import { askStudies } from '../../engine/studies.ts';
import { exercise as code } from '../../store/faults.ts';
import { layBeside, lookAt } from './beside.ts';
import { learnFaults, mapCells, type Kind } from './faults.ts';

/* Exercises: one fault of a set on the example's plate, to be found. Which one it is comes from the code, in Rust. */

/** The exercise in hand. */
export interface Asked {
  code: string; plan: Plan; is: Exercise;
  /** The answer is shown; and what was guessed before, if anything. */
  answered: boolean; mine: Kind | null;
}
export const asked = signal<Asked | null>(null);
/** Why there is none. */
export const unasked = signal('');

/** Seeds of links that somebody begins. */
const SEEDS = 30_000;

/** Lays out the exercise of a code. */
export async function ask(wanted: string): Promise<void> {
  asked.value = null;
  unasked.value = '';
  const aside = new PlanWorker();
  try {
    const [plan] = await Promise.all([askStudies('exercise_plan'), learnFaults()]);
    const [columns, rows] = mapCells(plan);
    const is = await askStudies('exercise', wanted, await aside.ask(plan, null, 'values_map', [columns, rows]), columns);
    if (code.peek() !== wanted) return;
    asked.value = { code: wanted, plan, is, answered: false, mine: null };
    const laid = layBeside({ plan, picture: null, fault: is.fault, named: ['as it should print', 'as it printed'] });
    lookAt(plan, [is.look_x_mm, is.look_y_mm], is.look_mm);
    await laid;
  } catch (error) {
    if (code.peek() === wanted) unasked.value = error instanceof Error ? error.message : String(error);
  } finally {
    aside.end();
  }
}

/** A guess, or nothing for being shown; then both prints are seen where it is. */
export function guess(kind: Kind | null): void {
  const now = asked.value;
  if (!now || now.answered) return;
  const { is, plan } = now;
  asked.value = { ...now, answered: true, mine: kind };
  lookAt(plan, [is.shows_x_mm, is.shows_y_mm], Math.min(is.look_mm, 2.5 * is.fault.radius_mm));
}

/** The code of an exercise on some kinds. */
export function codeFor(kinds: Kind[], seed = Math.floor(Math.random() * SEEDS)): Promise<string> {
  return askStudies('exercise_code', seed, kinds);
}
