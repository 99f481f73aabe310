import { signal } from '@preact/signals';
import { panel } from './notifications.ts';

/** The lesson in hand by its id, null for the list of all; and whether it is shown to a class. */
export const lesson = signal<string | null>(null);
export const presenting = signal(false);
/** The entry at which the glossary opens. */
export const term = signal<string | null>(null);

const FRAGMENT = /^#lesson-([a-z-]+?)(\/present)?$/;

/** Opens the lesson that the address names; false if it names none. */
export function lessonInAddress(): boolean {
  const found = FRAGMENT.exec(location.hash);
  if (!found) return false;
  lesson.value = found[1] ?? null;
  presenting.value = found[2] !== undefined;
  panel.value = 'lessons';
  return true;
}

/** The address of a lesson, for links and codes. */
export const lessonFragment = (id: string): string => `#lesson-${id}`;
