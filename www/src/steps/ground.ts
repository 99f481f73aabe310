import { step, type StepKey } from './steps.ts';
import type { BenchStep, Known } from './types.ts';
import { and, type Given } from './words.ts';

/* From the bare copper to the ground with its back covered; for the first ground and for later ones, on bitten copper. */

type Timed = Pick<Known['plan'], 'dust' | 'bake'>;

export function firstGround({ plan }: Known, given: Given): BenchStep[] {
  return ground(['plate', 'degrease', 'transfer'], plan, given, (key) => ({ id: key }));
}

/** Its steps' ids begin with `id`. */
export function laterGround(of: Timed, given: Given, id: string): BenchStep[] {
  return ground(['degrease_again'], of, given, (key) => ({ id: `${id}-${key === 'degrease_again' ? 'degrease' : key}`, part: 'states' }));
}

/** The steps that make the copper ready, then the dust, each dusting by itself, and the bake. */
function ground(ready: StepKey[], of: Timed, given: Given, named: (key: string) => Pick<BenchStep, 'id'> & Partial<BenchStep>): BenchStep[] {
  const all = (keys: StepKey[]): BenchStep[] => keys.map((key) => step(key, given, { ...named(key), seconds: seconds(key, of) }));
  const count = Number(of.dust.dustings);
  const dustings = Array.from({ length: count }, (_, i) => i + 1).flatMap((dusting) => {
    const now = and(given, { dusting: String(dusting) }, { turn: dusting < count ? 'more' : 'last' });
    return (['wait', 'dusting'] as const).map((key) => step(key, now, {
      ...named(dusting === 1 ? key : `${key}-${dusting}`), seconds: seconds(key, of),
    }));
  });
  return [...all([...ready, 'box']), ...dustings, ...all(['heat', 'bake', 'cool', 'back'])];
}

/** The set time of a step, or null. */
function seconds(key: StepKey, { dust, bake }: Timed): number | null {
  if (key === 'wait') return Number(dust.wait_s) || null;
  if (key === 'dusting') return Number(dust.dusting_min) * 60;
  if (key === 'bake') return Number(bake.bake_min) * 60;
  return null;
}
