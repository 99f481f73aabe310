import { computed, signal } from '@preact/signals';
import type { Cut, Image, Plan, Diagnostic, Summary } from '../engine/protocol.ts';

/** What is wrong with the plan as it stands. */
export const problems = signal<Diagnostic[]>([]);
/** The newest plan that can be calculated; null before the first. */
export const soundPlan = signal<Plan | null>(null);
/** Numbers of the newest plan that could be reckoned. */
export const summary = signal<Summary | null>(null);
/** What the linen tester shows. */
export const testerView = signal<Image | null>(null);
/** The cut under it. */
export const cut = signal<Cut | null>(null);
/** Printed patches, paper first. */
export const patches = signal<(Image | null)[]>([]);

/** How far the proof is, and how long it will still take (null while that isn't known). */
export const progress = signal<{ done: number; of: number; seconds_left: number | null }>({ done: 0, of: 0, seconds_left: null });

/** Every grain of the proof is in. */
export const proofIn = computed(() => progress.value.of > 0 && progress.value.done >= progress.value.of);

/** One sentence for the user, at the top of the page, until it is put away. */
export const said = signal<string | null>(null);
/** Sentences about a file that could not be opened. */
export const refused = signal<{ what: string; sentences: string[]; acts?: { name: string; run: () => void }[] } | null>(null);

/** What keeps the plan from being calculated. */
export const errors = computed(() => problems.value.filter((problem) => problem.severity === 'error'));
/** The plan can't be reckoned; the proof shows the last one that could. */
export const stale = computed(() => errors.value.length > 0);

/** The plan in hand as it last could be calculated; null where it never could. */
export const lastGood = signal<Plan | null>(null);

/** Numbers as they stood when their entry last got the keyboard or Enter, by field: what is half typed may be sound by chance. */
export const atFocus = new Map<string, number>();

/** An entry gets the keyboard or Enter; what stands there is worth going back to unless it is wrong already. */
export function entered(field: string, value: number): void {
  if (!errors.value.some((problem) => problem.field === field)) atFocus.set(field, value);
}

const CALIBRATION = 'calibration.';

/** The constant that a problem's field names, or null where it names something else. */
export function constantIn(field: string): string | null {
  return field.startsWith(CALIBRATION) ? field.slice(CALIBRATION.length) : null;
}

/** Everything to be said of the plan: what is wrong with it and, where it can be calculated, what its print warns of. */
export const allSaid = computed(() => [...problems.value, ...(stale.value ? [] : summary.value?.warnings ?? [])]);

/** The field of what is said of the cloud in the dust box. */
export const DUST_BOX = 'dust';

/** What of the numbers' warnings stands beside them: the caution about the cloud in the dust box stands with the dust box. */
export const toLookAt = computed(() => (summary.value?.warnings ?? []).filter(({ field }) => field !== DUST_BOX));

/** Everything to be said at one field. */
export function saidAt(field: string): Diagnostic[] {
  return allSaid.value.filter((problem) => problem.field === field);
}
