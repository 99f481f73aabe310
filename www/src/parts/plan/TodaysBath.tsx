import { effect, signal } from '@preact/signals';
import type { Plan } from '../../reckon/protocol';
import { plan } from '../../state/plan';
import { later } from '../Later';

/** The plan as it was when its minutes were last set: what its values are meant to be. */
const meant = signal<Plan | null>(null);

effect(() => {
  const now = plan.value;
  const old = meant.peek();
  // Other minutes, or another ground: the values are meant anew.
  if (old?.bites !== now.bites || old.dust !== now.dust || old.bake !== now.bake || old.seed !== now.seed) meant.value = now;
});

const SameValues = later('The minutes for this bath', async () => (await import('../backwards/SameValues')).SameValues);

/** “What if it is 17 °C today?”: offered when the bath has changed and the minutes have not. */
export function TodaysBath() {
  const before = meant.value;
  if (!before || before.bites.length === 0 || JSON.stringify(before.bath) === JSON.stringify(plan.value.bath)) return null;
  return <SameValues before={before} />;
}
