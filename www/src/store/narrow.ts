import { computed, signal, type ReadonlySignal } from '@preact/signals';

/* Where the page is laid out otherwise, and not by its styles alone. */

/** Whether a media query holds, as it changes. */
function holds(query: string): ReadonlySignal<boolean> {
  const asked = matchMedia(query);
  const now = signal(asked.matches);
  asked.addEventListener('change', () => { now.value = asked.matches; });
  return now;
}

/** A phone held upright: what stands beside the proof elsewhere stands above or under it. */
export const narrow = holds('(max-width: 45.99rem)');
/** A tablet upright: the plan lies under the proof. */
export const upright = holds('(min-width: 46rem) and (max-width: 67.99rem) and (min-aspect-ratio: 1/2) and (max-aspect-ratio: 1/1)');
const largeDesk = holds('(min-width: 1900px) and (min-height: 34rem)');
/** One step always stands open beside the list of all (layout.css). */
export const beside = computed(() => upright.value || largeDesk.value);
