import { signal } from '@preact/signals';
import type { Exercise, Plan } from '../../engine/protocol.ts';
import { askStudies } from '../../engine/studies.ts';
import { exercise as code } from '../../store/faults.ts';
import { layBeside, lookAt, lookAtMost, lookOf, mapBeside } from './beside.ts';
import { learnFaults, type Kind } from './faults.ts';

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

/** Their perfect plate: the same object for all of them, so that its worker keeps what it has laid. */
let sound: Plan | null = null;

/** Lays out the exercise of a code. */
export async function ask(wanted: string): Promise<void> {
  asked.value = null;
  unasked.value = '';
  try {
    const [plan] = await Promise.all([sound ?? askStudies('exercise_plan'), learnFaults()]);
    sound = plan;
    const print = { plan, picture: null, named: ['as it should print', 'as it printed'] as [string, string] };
    const is = await askStudies('exercise', wanted, ...await mapBeside(print));
    if (code.peek() !== wanted) return;
    asked.value = { code: wanted, plan, is, answered: false, mine: null };
    lookAt(plan, [is.look_x_mm, is.look_y_mm], is.look_mm);
    await layBeside({ ...print, fault: is.fault });
    // Guessed before both were weighed.
    if (asked.peek()?.answered && asked.peek()?.code === wanted) lookAtMost(plan);
  } catch (error) {
    if (code.peek() === wanted) unasked.value = error instanceof Error ? error.message : String(error);
  }
}

/** A guess, or nothing for being shown; then both prints are seen where it is. */
export function guess(kind: Kind | null): void {
  const now = asked.value;
  if (!now || now.answered) return;
  const { is, plan } = now;
  asked.value = { ...now, answered: true, mine: kind };
  lookAt(plan, [is.shows_x_mm, is.shows_y_mm], Math.min(is.look_mm, lookOf(is.fault)));
  lookAtMost(plan);
}

/** The code of an exercise on some kinds. */
export function codeFor(kinds: Kind[], seed = Math.floor(Math.random() * SEEDS)): Promise<string> {
  return askStudies('exercise_code', seed, kinds);
}
