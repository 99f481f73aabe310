import { signal } from '@preact/signals';

/** Something to be said with things to do about it. */
export interface Note { key: string; words: string; list?: string[]; acts: { name: string; run: () => void }[] }

/** What stands at the foot of the page until it is answered or put away. */
export const notes = signal<Note[]>([]);

export function note(next: Note): void {
  notes.value = [...notes.value.filter(({ key }) => key !== next.key), next];
}

export function putAway(key: string): void {
  notes.value = notes.value.filter((one) => one.key !== key);
}

/** A few words that go away by themselves: what was just undone, or kept. */
export const told = signal('');
const TOLD_MS = 5000;
let timer = 0;

export function tell(words: string): void {
  told.value = words;
  clearTimeout(timer);
  timer = window.setTimeout(() => { told.value = ''; }, TOLD_MS);
}

export type PanelName = 'share' | 'shelf' | 'compare' | 'strip' | 'backwards' | 'baths' | 'calibrate' | 'sheet' | 'guides' | 'clock' | 'lessons' | 'glossary' | 'watch';
/** Which panel lies over the page. */
export const panel = signal<PanelName | null>(null);

/** Kept while the clock is open or running, so that a reload comes back to it. */
export const CLOCK_OPEN = 'platewright.clock-open';
