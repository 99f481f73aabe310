import { signal } from '@preact/signals';

/** A message with buttons. */
export interface Note { key: string; words: string; list?: string[]; acts: { name: string; run: () => void }[] }

/** Messages at the foot of the page; each stays until it is answered or dismissed. */
export const notes = signal<Note[]>([]);

export function note(next: Note): void {
  notes.value = [...notes.value.filter(({ key }) => key !== next.key), next];
}

export function putAway(key: string): void {
  notes.value = notes.value.filter((one) => one.key !== key);
}

/** A short message that disappears by itself: what was just undone, or saved. */
export const told = signal('');
const TOLD_MS = 5000;
let timer = 0;

export function tell(words: string): void {
  told.value = words;
  clearTimeout(timer);
  timer = window.setTimeout(() => { told.value = ''; }, TOLD_MS);
}

export type PanelName = 'share' | 'shelf' | 'compare' | 'strip' | 'backwards' | 'baths' | 'calibrate' | 'sheet' | 'guides' | 'clock' | 'lessons' | 'glossary' | 'watch' | 'numbers' | 'record' | 'pulled' | 'teach' | 'risks' | 'faults' | 'cost' | 'what-went-wrong';
/** The open panel. */
export const panel = signal<PanelName | null>(null);

/** Key that is `open` while the clock is open or a set time runs, so that a reload reopens it, and `goes-on` while another step is under way. */
export const CLOCK_OPEN = 'platewright.clock-open';
