import { effect, signal, type Signal } from '@preact/signals';
import { useEffect, useState } from 'preact/hooks';
import { guessed } from './guesses.ts';
import { lessonPlan, type Lesson } from './lessons.ts';
import type { Plan } from '../../engine/protocol.ts';
import { StripWork, type Detail } from '../strip/strip.ts';
import { layOut, SHARES } from '../strip/vary.ts';

/** A lesson's strip at work, with the close looks that its words refer to. */
export interface LessonWork {
  lesson: Lesson;
  base: Plan;
  strip: StripWork;
  /** Grain and cut of the patches looked at so far, by their place. */
  looks: Signal<ReadonlyMap<number, Detail>>;
  /** The patch under the linen tester. */
  chosen: Signal<number>;
  look: (at: number) => void;
}

/** Begins a lesson's strip, and ends it when the lesson is left. */
export function useLessonWork(lesson: Lesson | null): LessonWork | null {
  const [work, setWork] = useState<LessonWork | null>(null);
  useEffect(() => {
    if (!lesson) return undefined;
    let end: (() => void) | null = null;
    let here = true;
    void lessonPlan(lesson).then(async (base) => {
      const shares = lesson.given?.lesson.shares ?? SHARES;
      const laid = await layOut(base, shares, lesson.strip);
      if (!here) return;
      const begun = begin(lesson, base, new StripWork(base, shares, lesson.strip, laid));
      end = begun.end;
      setWork(begun.work);
    }, () => undefined);
    return () => { here = false; end?.(); setWork(null); };
  }, [lesson]);
  return work?.lesson === lesson ? work : null;
}

/** The words' own patches are looked at one after another, so that they are there when turned to. */
function begin(lesson: Lesson, base: Plan, strip: StripWork): { work: LessonWork; end: () => void } {
  const looks = signal<ReadonlyMap<number, Detail>>(new Map());
  const first = lesson.text[0]?.at ?? 0;
  // Of a question answered before the strip was laid, the patch that answers it.
  const chosen = signal(guessed(lesson.id, 0) === undefined ? first : lesson.questions[0]?.at ?? first);
  const wanted = [...new Set([first, ...lesson.text.map(({ at }) => at), ...lesson.questions.map(({ at }) => at)])];
  const next = (): void => {
    const at = [chosen.peek(), ...wanted].find((place) => !looks.peek().has(place) && strip.patches[place]?.wrong === null);
    const patch = at === undefined ? undefined : strip.patches[at];
    if (patch) strip.lookAt(patch);
  };
  const stop = effect(() => {
    const seen = strip.detail.value;
    const at = seen ? strip.patches.indexOf(seen.patch) : -1;
    if (seen && at >= 0 && looks.peek().get(at) !== seen) {
      looks.value = new Map(looks.peek()).set(at, seen);
      next();
    }
  });
  const look = (at: number): void => {
    chosen.value = at;
    next();
  };
  next();
  return { work: { lesson, base, strip, looks, chosen, look }, end: () => { stop(); strip.end(); } };
}

/** All patches are in, and all close looks that the words ask for. */
export function isWhole(work: LessonWork | null): boolean {
  if (!work) return false;
  void work.strip.drawn.value;
  const { strip, looks, lesson: { text } } = work;
  return strip.done === strip.patches.length && text.every(({ at }) => looks.value.has(at) || strip.patches[at]?.wrong !== null);
}
