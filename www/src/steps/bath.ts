import type { BathOrder, WordedBite } from '../engine/protocol.ts';
import { length } from './benchUnits.ts';
import { orderOf } from './order.ts';
import { step } from './steps.ts';
import type { BenchStep, Known } from './types.ts';
import { and, yesNo, type Choices, type Given } from './words.ts';

/* Stopping out and biting, in the order that Rust gives (`plan::order`). */

export function bathSteps(known: Known, given: Given): BenchStep[] {
  const order = orderOf(known);
  const spits = spitSteps(order, known, given);
  const whites = step('whites', and(given, {}, { whites: yesNo(order.whites) }));
  const ready = step('bath', given);
  return [
    // Where etchant is brushed on, the bath is needed before the varnish.
    ...(spits.length > 0 ? [ready, ...spits, whites] : [whites, ready]),
    ...biteSteps(order, known.instead ?? {}, given),
    ...(['strip', 'brighten', 'bath-away'] as const).map((key) => step(key, given)),
  ];
}

function spitSteps({ spits }: BathOrder, { units }: Known, given: Given): BenchStep[] {
  return spits.map(({ name, spit_min, fade_mm, middle_mm: [left, top] }, i) => step('spit', and(given, {
    spit_name: name, spit_left: length(left, units), spit_top: length(top, units), spit_fade: length(fade_mm, units),
  }, { spit: nth(i), spit_edge: fade_mm > 0 ? 'faded' : 'sharp' }), { id: `spit-${i + 1}`, seconds: spit_min * 60 }));
}

/** The bites, and between two of them what is stopped out. */
function biteSteps({ bites, dropped, whites }: BathOrder, instead: Record<string, number>, given: Given): BenchStep[] {
  const idOf = ({ bite }: WordedBite): string => `bite-${bite.last}`;
  const run = bites.filter((one) => instead[idOf(one)] !== 0);
  return run.flatMap((one, i): BenchStep[] => {
    const { bite, name, joined } = one;
    const next = run[i + 1];
    const biting = step('bite', and(given, { bite_name: name, bite_joined: joined, bites_dropped: next ? '' : dropped }, { bite: nth(i) }), {
      id: idOf(one), seconds: instead[idOf(one)] ?? bite.bite_min * 60, bite: [bite.first, bite.last],
    });
    if (!next) return [biting];
    const values = (some: WordedBite[]): string[] => some.map((of) => String(of.bite.last));
    const at = bites.indexOf(one);
    const [before, now] = [values(bites.slice(0, at)), values(bites.slice(at, bites.indexOf(next)))];
    const stop = and(given, { value: listed(now), covered_values: listed(before) }, { stop: now.length > 1 ? 'more' : 'one', covered: covered(whites, before.length) });
    return [biting, step('stop', stop, { id: `stop-${bite.last}`, stop: bite.last })];
  });
}

export const nth = (i: number): 'first' | 'later' => (i === 0 ? 'first' : 'later');

/** “1, 2 and 3”. */
export function listed(values: string[]): string {
  return values.length < 2 ? values.join('') : `${values.slice(0, -1).join(', ')} and ${values.at(-1)}`;
}

/** Which words there are for what is under varnish. */
function covered(whites: boolean, values: number): NonNullable<Choices['covered']> {
  if (values === 0) return whites ? 'whites' : 'nothing';
  if (values === 1) return whites ? 'whites_value' : 'value';
  return whites ? 'whites_values' : 'values';
}
