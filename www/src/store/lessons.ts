import { signal } from '@preact/signals';
import type { Plan, SharedLesson } from '../engine/protocol.ts';
import type { Picture } from './picture.ts';

/** The lesson in hand by its id, null for the list of all; and whether it is shown to a class, or as its handout. */
export const lesson = signal<string | null>(null);
export const presenting = signal(false);
export const handout = signal(false);
/** The lesson of one's own that is being written, by its id; null for the list of them. */
export const ownLesson = signal<string | null>(null);
/** The entry at which the glossary opens. */
export const term = signal<string | null>(null);

/** A lesson that came with a link, with the plan it is on. */
export interface GivenLesson {
  link: string; lesson: SharedLesson; plan: Plan; picture: Picture;
  /** What is to be said of the link, and of its plan once that is taken in hand. */
  note: string | null; said: string | null;
}
/** The one that was opened last; it is in hand while `lesson` is `GIVEN`. */
export const given = signal<GivenLesson | null>(null);
export const GIVEN = 'given';

/** The address of a lesson, for links and codes. */
export const lessonFragment = (id: string): string => `#lesson-${id}`;
