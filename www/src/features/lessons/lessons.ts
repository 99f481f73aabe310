import type { Plan } from '../../engine/protocol.ts';
import { exampleWith, type StripSettings } from '../strip/vary.ts';
import coldAndTired from './texts/cold-and-tired.json';
import fineGrain from './texts/fine-grain.json';
import halfCovered from './texts/half-covered.json';
import lightening from './texts/lightening.json';
import minutesAndValues from './texts/minutes-and-values.json';
import stopOut from './texts/stop-out.json';
import theBake from './texts/the-bake.json';
import theWait from './texts/the-wait.json';
import wiping from './texts/wiping.json';

/** A question asked before its answer is shown. `at` is the patch that answers it. */
export interface Question { ask: string; options: string[]; right: number; because: string; at: number }

/**
 * A lesson. In its words `[[term]]` or `[[term|as shown]]` leads to the glossary, and `{3}` names the check
 * in tests/lessons that holds the sentence to the simulation; neither is shown.
 */
export interface Lesson {
  id: string; title: string; about: string; minutes: number;
  /** What differs from the example plan. */
  set: Record<string, number | string | boolean>;
  strip: StripSettings;
  /** `watch` names the work at which the plate of that patch can be watched. */
  text: { words: string; at: number; watch?: string }[];
  questions: Question[];
  caution: string;
}

/** In the order of the bench. */
export const LESSONS: Lesson[] = [
  halfCovered, theWait, theBake, minutesAndValues, coldAndTired, fineGrain, stopOut, wiping, lightening,
];

/** The plan a lesson begins with. */
export async function lessonPlan({ title, set }: Lesson): Promise<Plan> {
  return { ...await exampleWith(set), title };
}
