import { signal } from '@preact/signals';
import type { SharedLesson } from '../engine/protocol.ts';
import { rangeOf } from './catalogue.ts';
import { note } from './notifications.ts';
import { persisted } from './persisted.ts';
import { newId } from './pictureStore.ts';

/*
 * Lessons that a teacher writes: kept in this browser as they are typed, whole or not. The plan of each is kept as its
 * link, which is short and is checked whenever it is read.
 */

/** A plan that a lesson is on: its link, and the same with a small picture where it has one of its own. */
export interface LessonPlan { name: string; link: string; pictured: string | null; shares: number[] }

export interface OwnLesson {
  id: string; at: number;
  plan: LessonPlan | null;
  /** Whether the small picture goes into the lesson's link. */
  withPicture: boolean;
  lesson: Omit<SharedLesson, 'shares'>;
}

const KEY = 'platewright.own-lessons';
const MOST = 200;
/** Longest link that is kept. */
const LONGEST = 70_000;
/** Characters of one entry that are kept at most, however long it was typed. */
const MOST_TYPED = 4000;

const object = (of: unknown): Record<string, unknown> => (typeof of === 'object' && of !== null ? of as Record<string, unknown> : {});
const text = (of: unknown): string => (typeof of === 'string' ? of.slice(0, MOST_TYPED) : '');
const number = (of: unknown): number => (typeof of === 'number' && Number.isFinite(of) ? of : 0);
const place = (of: unknown): number => Math.max(0, Math.min(99, Math.round(number(of))));
const list = (of: unknown, most: number): unknown[] => (Array.isArray(of) ? of.slice(0, most) as unknown[] : []);

function side(of: unknown): SharedLesson['strip']['along'] {
  const { key, from, to, count } = object(of);
  return { key: text(key), from: number(from), to: number(to), count: place(count) };
}

function plan(of: unknown): LessonPlan | null {
  const { name, link, pictured, shares } = object(of);
  if (typeof link !== 'string' || link.length > LONGEST) return null;
  return { name: text(name), link, pictured: typeof pictured === 'string' && pictured.length <= LONGEST ? pictured : null, shares: list(shares, 20).map(number) };
}

function words(of: unknown): OwnLesson['lesson'] {
  const { title, paragraphs, question, strip } = object(of);
  const { ask, options, right, because, at } = object(question);
  const { along, down, value, minutes } = object(strip);
  return {
    title: text(title),
    paragraphs: list(paragraphs, 20).map((one) => ({ words: text(object(one).words), at: place(object(one).at) })),
    question: { ask: text(ask), options: list(options, 9).map(text), right: place(right), because: text(because), at: place(at) },
    strip: { along: side(along), down: down ? side(down) : null, value: typeof value === 'number' ? place(value) : null, minutes: number(minutes) },
  };
}

/** Reads drafts from the store; what is no lesson is dropped. */
export function readLessons(kept: unknown): OwnLesson[] {
  return list(kept, MOST).flatMap((one) => {
    const { id, at, plan: of, withPicture, lesson } = object(one);
    if (typeof id !== 'string' || !/^[a-z0-9]{1,40}$/.test(id) || !lesson) return [];
    return [{ id, at: number(at), plan: plan(of), withPicture: withPicture === true, lesson: words(lesson) }];
  });
}

export const ownLessons = persisted<OwnLesson[]>(KEY, [], readLessons, {
  form: (all) => (all.length > 0 ? all : undefined),
  onWrite: (kept) => {
    if (!kept) note({ key: 'own-lessons', words: 'This browser does not keep your lessons: its store for this page is full or forbidden. Copy the lesson’s link before you close the page.', acts: [] });
  },
});

/** There are as many as are kept. */
export const lessonsFull = (): boolean => ownLessons.value.length >= MOST;

/** A new draft, of a strip. */
export function beginLesson(strip: SharedLesson['strip']): OwnLesson {
  const [fewest] = rangeOf('lesson.options');
  const fresh: OwnLesson = {
    id: newId(), at: Date.now(), plan: null, withPicture: false,
    lesson: { title: '', paragraphs: [{ words: '', at: 0 }], question: { ask: '', options: Array<string>(fewest + 1).fill(''), right: 0, because: '', at: 0 }, strip },
  };
  ownLessons.value = [fresh, ...ownLessons.value];
  return fresh;
}

export function setLesson(id: string, next: Partial<Omit<OwnLesson, 'id' | 'at'>>): void {
  ownLessons.value = ownLessons.value.map((one) => (one.id === id ? { ...one, ...next, at: Date.now() } : one));
}

/** Takes a lesson away, and offers it back. */
export function dropLesson(id: string): void {
  const gone = ownLessons.value.find((one) => one.id === id);
  ownLessons.value = ownLessons.value.filter((one) => one.id !== id);
  deleted.value = gone ?? null;
}

/** The lesson deleted last, for as long as the page is open. */
export const deleted = signal<OwnLesson | null>(null);

export function putLessonBack(): void {
  if (deleted.value) ownLessons.value = [deleted.value, ...ownLessons.value].sort((a, b) => b.at - a.at);
  deleted.value = null;
}

/** Another draft like it. */
export function copyLesson(of: OwnLesson): void {
  ownLessons.value = [{ ...of, id: newId(), at: Date.now() }, ...ownLessons.value];
}
