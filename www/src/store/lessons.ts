import { signal } from '@preact/signals';

/** The lesson in hand by its id, null for the list of all; and whether it is shown to a class. */
export const lesson = signal<string | null>(null);
export const presenting = signal(false);
/** The entry at which the glossary opens. */
export const term = signal<string | null>(null);

/** The address of a lesson, for links and codes. */
export const lessonFragment = (id: string): string => `#lesson-${id}`;
