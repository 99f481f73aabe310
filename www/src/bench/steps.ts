import bath from './steps/bath.json';
import ground from './steps/ground.json';
import print from './steps/print.json';
import states from './steps/states.json';
import type { BenchPart, BenchStep } from './types';
import { caution, fill, fillAll, phrase, type Given, type Words } from './words';

/** A step as its file has it. A key with several cautions says them one after another. */
export interface StepWords {
  name: Words;
  /** Minutes allowed where it has no set time; for each of its pieces of work where it has several. */
  allow_min: Words;
  todo: Words[]; look?: Words; ifNot?: Words; mind?: Words; caution?: Words[];
}

/** Each part of the work has a file of its own. */
const FILES = { ground, bath, print, states };

/** What the parts are called. */
export const PARTS: Record<BenchPart, string> = { ground: ground.title, bath: bath.title, print: print.title, states: states.title };

export type StepKey = { [Part in BenchPart]: keyof (typeof FILES)[Part]['steps'] }[BenchPart];

const STEPS: Record<StepKey, StepWords> = { ...ground.steps, ...bath.steps, ...print.steps, ...states.steps };

const PART_OF = Object.fromEntries(Object.entries(FILES).flatMap(([part, { steps }]) => Object.keys(steps).map((key) => [key, part]))) as Record<StepKey, BenchPart>;

interface Also extends Partial<Pick<BenchStep, 'id' | 'part' | 'seconds' | 'bite' | 'stop'>> {
  /** Its pieces of work, if it has several: what there is to do is said for each of them. */
  each?: Given[];
}

/** The step `key` in words; without `seconds` it takes as long as it takes. */
export function step(key: StepKey, given: Given, { each = [given], ...also }: Also = {}): BenchStep {
  const words = STEPS[key];
  const optional = {
    look: words.look === undefined ? '' : fill(words.look, given),
    ifNot: words.ifNot === undefined ? '' : fill(words.ifNot, given),
    mind: words.mind === undefined ? '' : fill(words.mind, given),
    caution: fillAll(words.caution ?? [], given).map((one) => caution(one, given)).join(' '),
  };
  return {
    id: key, part: PART_OF[key], seconds: null,
    name: fill(words.name, given),
    allow_min: Number(fill(words.allow_min, given)) * each.length,
    todo: each.flatMap((one) => fillAll(words.todo, one)),
    ...Object.fromEntries(Object.entries(optional).filter(([, text]) => text !== '')),
    ...also,
  };
}

/** What there is to do at every stop-out, whatever the value. */
export function everyStop(): string {
  return fillAll(STEPS.stop.todo, { places: {}, choices: { stop: 'each' } }).join(' ');
}

/** What to know of values that are stopped out. */
export function underVarnish(): string {
  return phrase('under_varnish', { places: {}, choices: {} });
}
