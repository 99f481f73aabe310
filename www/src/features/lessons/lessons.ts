import type { Plan } from '../../engine/protocol.ts';
import { unpacked } from '../../engine/z85.ts';
import { exampleWith, type StripSettings } from '../strip/vary.ts';
import packed from './texts?packed';

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
const ORDER = [
  'workshop-safety', 'half-covered', 'the-wait', 'the-bake', 'minutes-and-values', 'picture-to-values', 'stop-out', 'foul-bite', 'cold-and-tired',
  'weaker-bath', 'step-plate', 'fine-grain', 'wiping', 'damp-paper', 'reading-a-proof', 'lightening',
];

/** All lessons in that order; none before `openLessons`. */
export const LESSONS: Lesson[] = [];

/** Unpacks the lessons. */
export async function openLessons(): Promise<void> {
  const all: Lesson[] = await unpacked(packed.text, packed.bytes).json();
  LESSONS.splice(0, LESSONS.length, ...ORDER.flatMap((id) => all.find((one) => one.id === id) ?? []));
}

/** The plan a lesson begins with. */
export async function lessonPlan({ title, set }: Lesson): Promise<Plan> {
  return { ...await exampleWith(set), title };
}
