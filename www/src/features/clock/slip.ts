import type { RemainingBites } from '../../engine/protocol.ts';
import { listed } from '../../steps/bath.ts';
import { timeWords } from '../../steps/benchUnits.ts';
import type { BenchStep } from '../../steps/types.ts';

/** What a bite that ran otherwise than planned has done, and what to do next, a sentence each. */
export interface Slip {
  words: string[];
  /** A bite taken out too early, and what is left of it, s. */
  back: { id: string; left_s: number } | null;
  /** The step up to which this is news: the next bite's. */
  until: string | null;
  /** Other minutes than the plan's are proposed for what remains. */
  differs: boolean;
}

interface Ran { ran_min: number[]; running: boolean; found: RemainingBites }

const valueIn = ({ bite }: BenchStep): number => bite?.[1] ?? 0;

/** Null when there is nothing to say. `bites` are all of the plan, `ran_min` those that ran, the last of them maybe still in the bath. */
export function slipOf(bites: BenchStep[], target_l: number[], { ran_min, running, found }: Ran): Slip | null {
  const done = ran_min.length;
  const last = bites[done - 1];
  if (!last || found.bite_min.length !== bites.length - done) return null;
  const rest = bites.slice(done).map((step, i) => ({ step, seconds: 60 * (found.bite_min[i] ?? 0), outcome: found.outcome[i] ?? 'met' }));
  const differs = rest.some(({ step, seconds }) => seconds !== step.seconds);
  if (found.last === 'met' && !differs) return null;
  const words: string[] = [];
  if (running) words.push('Take the plate out now.');
  const value = valueIn(last);
  const [printed, wanted] = [found.lightness[done - 1] ?? 0, target_l[value - 1] ?? 0].map((l) => l.toFixed(0));
  words.push(`Value ${value} ${running ? 'already' : 'now'} prints about L* ${printed}${printed === wanted ? ', as planned' : `; it was to print ${wanted}`}.`);
  const left_s = (last.seconds ?? 0) - 60 * (ran_min[done - 1] ?? 0);
  const back = !running && found.last === 'lighter' && left_s > 0 ? { id: last.id, left_s } : null;
  if (back) words.push('Is it not varnished yet? Then back into the bath with it. If it is, it stays lighter.');
  const next = rest.find(({ seconds }) => seconds > 0);
  const alike = rest.slice(0, next ? rest.indexOf(next) : rest.length).map(({ step }) => String(valueIn(step)));
  if (alike.length > 0) {
    words.push(`Values ${listed([String(value), ...alike])} can no longer be parted: ${next ? 'stop them out together.' : 'the plate is done with the bath.'}`);
  }
  if (next) {
    const { step, seconds, outcome } = next;
    const but = outcome === 'met' ? '' : `; it prints ${outcome} than planned all the same`;
    words.push(`Next is ${step.name.charAt(0).toLowerCase()}${step.name.slice(1)}, ${timeWords(seconds)}${seconds === step.seconds ? ' as planned' : ` instead of ${timeWords(step.seconds ?? 0)}`}${but}.`);
  }
  if (found.sentence) words.push(found.sentence);
  return { words, back, until: next?.step.id ?? null, differs };
}
