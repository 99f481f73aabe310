import type { Plan } from '../../engine/protocol.ts';
import decide from '../../steps/decide.json';
import type { GivenLesson } from '../../store/lessons.ts';
import type { Units } from '../../store/settings.ts';
import { inUnits } from '../../ui/inUnits.ts';
import { exampleWith, type StripSettings } from '../strip/vary.ts';
import coldAndTired from './texts/cold-and-tired.json';
import dampPaper from './texts/damp-paper.json';
import fineGrain from './texts/fine-grain.json';
import foulBite from './texts/foul-bite.json';
import halfCovered from './texts/half-covered.json';
import lightening from './texts/lightening.json';
import minutesAndValues from './texts/minutes-and-values.json';
import pictureToValues from './texts/picture-to-values.json';
import readingAProof from './texts/reading-a-proof.json';
import stepPlate from './texts/step-plate.json';
import stopOut from './texts/stop-out.json';
import theBake from './texts/the-bake.json';
import theWait from './texts/the-wait.json';
import weakerBath from './texts/weaker-bath.json';
import wiping from './texts/wiping.json';
import workshopSafety from './texts/workshop-safety.json';

/** A question asked before its answer is shown. `at` is the patch that answers it. */
export interface Question { ask: string; options: string[]; right: number; because: string; at: number }

/**
 * A lesson. In its words `[[term]]` or `[[term|as shown]]` leads to the glossary, and `{3}` names the check
 * in tests/lessons that holds the sentence to the simulation; neither is shown. Of `‹metric|US›` one is (`inUnits`).
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
  /** Where it came with a link: its plan, its picture and its shares, instead of the example with `set`. */
  given?: GivenLesson;
}

/** In the order of the bench. */
export const LESSONS: Lesson[] = [
  workshopSafety, halfCovered, theWait, theBake, minutesAndValues, pictureToValues, stopOut, foulBite, coldAndTired, weakerBath, stepPlate,
  fineGrain, wiping, dampPaper, readingAProof, lightening,
];

/** A lesson in the reader's units. */
export function lessonIn(of: Lesson, units: Units): Lesson {
  const { about, text, questions, caution } = of;
  const said = (words: string): string => inUnits(words, units);
  return {
    ...of, about: said(about), caution: said(caution),
    text: text.map((one) => ({ ...one, words: said(one.words) })),
    questions: questions.map((one) => ({ ...one, ask: said(one.ask), options: one.options.map(said), because: said(one.because) })),
  };
}

/** The plan a lesson begins with. */
export async function lessonPlan({ title, set, given }: Lesson): Promise<Plan> {
  return given?.plan ?? { ...await exampleWith(set), title };
}

/** Characters at the end of a link that tell it from others: its check sum is among them. */
const TELLING_CHARS = 13;

/** A lesson that came with a link, as those of the page are. Its writer's words are plain text, the caution is the page's. */
export function asLesson(given: GivenLesson): Lesson {
  const { link, lesson: { title, paragraphs, question, strip } } = given;
  return {
    id: `given-${link.slice(-TELLING_CHARS)}`, title, minutes: 0, set: {}, strip, text: paragraphs, questions: [question], given,
    about: 'A lesson that came with a link: its words are its writer’s own, and nobody has checked them. The strip is calculated here, from the plan in the link.',
    caution: `${decide.decide} ${decide.classes}`,
  };
}
