import bath from './texts/bath.json';
import ground from './texts/ground.json';
import print from './texts/print.json';
import states from './texts/states.json';
import type { BenchPart, BenchStep } from './types.ts';
import { caution, fill, fillAll, mark, phrase, type Given, type Words } from './words.ts';

/** A step as it stands in its file. `caution` lists keys of `cautions.json`; their texts are joined. */
export interface StepWords {
  name: Words;
  /** Minutes allowed if it has no set time; multiplied by the number of its pieces of work. */
  allow_min: Words;
  todo: Words[]; look?: Words; ifNot?: Words; late?: Words; mind?: Words; short?: Words; caution?: Words[];
}

/** One file for each part of the work, so that a step's part is the file it stands in. */
const FILES = { ground, bath, print, states };

/** Titles of the parts. */
export const PARTS: Record<BenchPart, string> = { ground: ground.title, bath: bath.title, print: print.title, states: states.title };

export type StepKey = { [Part in BenchPart]: keyof (typeof FILES)[Part]['steps'] }[BenchPart];

const STEPS: Record<StepKey, StepWords> = { ...ground.steps, ...bath.steps, ...print.steps, ...states.steps };

const PART_OF = Object.fromEntries(Object.entries(FILES).flatMap(([part, { steps }]) => Object.keys(steps).map((key) => [key, part]))) as Record<StepKey, BenchPart>;

interface Also extends Partial<Pick<BenchStep, 'id' | 'part' | 'seconds' | 'bite' | 'stop'>> {
  /** Its pieces of work, if it has several: `todo` is repeated for each. */
  each?: Given[];
}

const OPTIONAL = ['look', 'ifNot', 'late', 'mind', 'short'] as const;

/** The step `key` with its texts filled; `seconds` is its set time. */
export function step(key: StepKey, given: Given, { each = [given], ...also }: Also = {}): BenchStep {
  const words = STEPS[key];
  const cautions = fillAll(words.caution ?? [], given);
  const optional = Object.fromEntries([
    ...OPTIONAL.map((field) => [field, fill(words[field] ?? '', given)] as const),
    ['caution', cautions.map((one) => caution(one, given)).join(' ')] as const,
  ].filter(([, text]) => text !== ''));
  return {
    id: key, part: PART_OF[key], seconds: null,
    name: fill(words.name, given),
    allow_min: Number(fill(words.allow_min, given)) * each.length,
    todo: each.flatMap((one) => fillAll(words.todo, one)),
    cautions,
    marks: cautions.map(mark),
    ...optional,
    ...also,
  };
}

/** The instruction for every stop-out, without a value's number. */
export function everyStop(): string {
  return fillAll(STEPS.stop.todo, { places: {}, choices: { stop: 'each' } }).join(' ');
}

/** The advice on values already stopped out. */
export function underVarnish(): string {
  return phrase('under_varnish', { places: {}, choices: {} });
}
