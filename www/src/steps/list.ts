import type { Units } from '../store/settings.ts';
import { bathSteps } from './bath.ts';
import { timeOfDay } from './benchUnits.ts';
import { firstGround } from './ground.ts';
import needs from './needs.json';
import { planWords } from './planWords.ts';
import { stateSteps } from './states.ts';
import { step } from './steps.ts';
import type { BenchStep, Known } from './types.ts';
import { and, fillAll } from './words.ts';

/*
 * The whole job as a list of steps, with one plan's own numbers: what the bench sheet prints and the clock runs. The
 * numbers come from the plan and from Rust, the words from the files beside; the code decides which steps there are.
 */

const PRINTING = ['soak', 'blankets', 'ink', 'wipe', 'press', 'dry'] as const;

/** Every step, in order. Numbers that are not calculated yet stand as “…”. */
export function benchList(known: Known): BenchStep[] {
  const given = and(planWords(known), {}, { ground: 'first' });
  return [
    ...firstGround(known, given),
    ...bathSteps(known, given),
    ...PRINTING.map((key) => step(key, given)),
    ...stateSteps(known, given),
    // The plate is put away after whatever comes last.
    step('clean', given, { part: 'states' }),
  ];
}

/** What to have ready, and what to wear. */
export function benchNeeds(known: Known): { name: string; things: string[] }[] {
  const given = planWords(known);
  return needs.map(({ name, things }) => ({ name, things: fillAll(things, given) }));
}

/** When each step begins and ends, s after the start of the work. */
export function benchTimes(list: BenchStep[]): { from_s: number; to_s: number }[] {
  let at = 0;
  return list.map((one) => {
    const from_s = at;
    at += one.seconds ?? one.allow_min * 60;
    return { from_s, to_s: at };
  });
}

/** The time of day so long after the work was begun. */
export function ofDay(begin_min: number, after_s: number, units: Units): string {
  return timeOfDay(Math.round(begin_min + after_s / 60) % 1440, units);
}
