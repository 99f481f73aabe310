import { step, type StepKey } from './steps';
import type { BenchStep, Known } from './types';
import type { Given } from './words';

/* From the bare copper to the ground with its back covered; for the first ground and for later ones, on bitten copper. */

const FIRST: StepKey[] = ['plate', 'degrease', 'box', 'wait', 'dusting', 'heat', 'bake', 'cool', 'back'];
const LATER: StepKey[] = ['degrease_again', ...FIRST.slice(2)];

export function firstGround({ plan }: Known, given: Given): BenchStep[] {
  return FIRST.map((key) => step(key, given, { seconds: seconds(key, plan) }));
}

/** Its steps' ids begin with `id`. */
export function laterGround(of: Timed, given: Given, id: string): BenchStep[] {
  return LATER.map((key) => step(key, given, { id: `${id}-${key === 'degrease_again' ? 'degrease' : key}`, part: 'states', seconds: seconds(key, of) }));
}

type Timed = Pick<Known['plan'], 'dust' | 'bake'>;

/** The set time of a step, or null. */
function seconds(key: StepKey, { dust, bake }: Timed): number | null {
  if (key === 'wait') return Number(dust['wait_s']) || null;
  if (key === 'dusting') return Number(dust['dusting_min']) * 60;
  if (key === 'bake') return Number(bake['bake_min']) * 60;
  return null;
}
