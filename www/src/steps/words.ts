import cautions from './cautions.json';
import marks from './marks.json';
import phrasesFile from './phrases.json';

/*
 * The words of the bench sheet and the clock are data (`steps/*.json`, `phrases.json`, `cautions.json` and in few words `marks.json`, `needs.json`).
 * `{place}` in a sentence stands for a value of this plan or for an entry of `phrases.json`; a sentence that depends on
 * a choice is an object: `by` names the choice, every option has its own text, `else` is for the options not named.
 * An empty text drops out. An unknown place, choice or option throws: tests/page/bench.test.mjs fills every text.
 */

/** The choices that a text can depend on, with their options. */
export const CHOICES = {
  amounts: ['known', 'missing'],
  bake_warned: ['yes', 'no'],
  base: ['yes', 'no'],
  bath_copper: ['yes', 'no'],
  bite: ['first', 'later'],
  cover: ['yes', 'no'],
  cover_passage: ['yes', 'no'],
  cover_values: ['yes', 'no'],
  covered: ['nothing', 'whites', 'value', 'values', 'whites_value', 'whites_values'],
  darkest: ['known', 'missing'],
  dustings: ['one', 'more'],
  edition: ['yes', 'no'],
  ground: ['first', 'later'],
  impressions: ['one', 'more'],
  lines: ['yes', 'no'],
  movement: ['still_face_up', 'still_face_down', 'rocked', 'feathered', 'bubbled', 'sprayed'],
  named: ['yes', 'no'],
  paper_between: ['yes', 'no'],
  passage: ['yes', 'no'],
  plates_left: ['unknown', 'one', 'more'],
  press: ['light', 'normal', 'heavy'],
  reducer: ['yes', 'no'],
  softens: ['yes', 'no', 'unknown'],
  spit: ['first', 'later'],
  spit_edge: ['faded', 'sharp'],
  spits: ['yes', 'no'],
  steel_faced: ['yes', 'no'],
  stop: ['one', 'more', 'each'],
  summary: ['known', 'missing'],
  turn: ['more', 'last'],
  tool: ['scraper', 'point', 'burnisher', 'polish', 'hammer'],
  hammer: ['yes', 'no'],
  uncover: ['yes', 'no'],
  units: ['metric', 'us'],
  wait: ['yes', 'no'],
  whites: ['yes', 'no'],
  wipe: ['tarlatan', 'hand', 'hard'],
} as const;

/** The current option of each choice. The plan's own choices are plain strings in its type. */
export type Choices = { [K in keyof typeof CHOICES]?: K extends 'movement' | 'press' | 'wipe' ? string : (typeof CHOICES)[K][number] };

/** A text, or one for each option of the choice `by`. */
export type Words = string | number | ByChoice;
export interface ByChoice { by: string; [option: string]: Words | undefined }

/** What fills the texts: values by place, options by choice. */
export interface Given { places: Record<string, string>; choices: Choices }

const phrases: Record<string, Words> = phrasesFile;
export type Phrase = keyof typeof phrasesFile;
export type Caution = keyof typeof cautions;

export const yesNo = (holds: boolean): 'yes' | 'no' => (holds ? 'yes' : 'no');

/** `given` with more places and choices, which take precedence. */
export function and(given: Given, places: Given['places'], choices: Choices = {}): Given {
  return { places: { ...given.places, ...places }, choices: { ...given.choices, ...choices } };
}

/** The text for these choices with its places filled. Values are not searched for places again. */
export function fill(words: Words, given: Given): string {
  if (typeof words === 'object') return fill(chosen(words, given.choices), given);
  return String(words).replace(/\{(\w+)\}/g, (_, place: string) => {
    const value = given.places[place];
    if (value !== undefined) return value;
    const phrase = phrases[place];
    if (phrase === undefined) throw new Error(`Bench words: nothing fills {${place}} in “${words}”.`);
    return fill(phrase, given);
  });
}

function chosen({ by, ...texts }: ByChoice, choices: Record<string, string | undefined>): Words {
  const option = choices[by];
  const text = option === undefined ? undefined : texts[option] ?? texts.else;
  if (text === undefined) throw new Error(`Bench words: no text for “${option}” by “${by}”.`);
  return text;
}

/** Several texts; those that are empty drop out. */
export function fillAll(list: readonly Words[], given: Given): string[] {
  return list.map((words) => fill(words, given)).filter((text) => text !== '');
}

export function phrase(name: Phrase, given: Given): string {
  return fill(phrases[name] ?? '', given);
}

/** A caution in a few words. */
export function mark(key: string): string {
  const words = (marks as Record<string, string>)[key];
  if (words === undefined) throw new Error(`Bench words: marks.json has no “${key}”.`);
  return words;
}

export function caution(key: string, given: Given): string {
  const words = (cautions as Record<string, string>)[key];
  if (words === undefined) throw new Error(`Bench words: cautions.json has no “${key}”.`);
  return fill(words, given);
}
