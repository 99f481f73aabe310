import { signal } from '@preact/signals';

/** A phone held upright, as the styles have it: what stands beside the proof elsewhere stands above or under it. */
const query = matchMedia('(max-width: 45.99rem)');
export const narrow = signal(query.matches);
query.addEventListener('change', () => { narrow.value = query.matches; });
