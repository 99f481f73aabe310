import { effect, signal } from '@preact/signals';
import type { Plan } from '../../reckon/protocol';
import { plan } from '../../state/plan';
import { later } from '../Later';

/** The plan as it was when its minutes were last set: what its values are meant to be. */
const meant = signal<Plan | null>(null);

/** The bath that the minutes were set for, kept for a reload: { about, bath }. */
const KEY = 'platewright.minutes-for';

/** All that minutes are meant for, but for the bath. */
const about = ({ bites, dust, bake, seed }: Plan): string => JSON.stringify([bites, dust, bake, seed]);

/** The plan with the bath that its minutes were set for before a reload, where it is still that plan. */
function asMeant(now: Plan): Plan {
  try {
    const kept = JSON.parse(localStorage.getItem(KEY) ?? 'null') as { about?: unknown; bath?: unknown } | null;
    // The bath is checked with the plan when it is asked about.
    return kept?.about === about(now) && typeof kept.bath === 'object' && kept.bath ? { ...now, bath: kept.bath as Plan['bath'] } : now;
  } catch {
    return now;
  }
}

effect(() => {
  const now = plan.value;
  const old = meant.peek();
  if (now.bites.length === 0) return;
  if (!old) {
    meant.value = asMeant(now);
    return;
  }
  // Other minutes, or another ground: the values are meant anew.
  if (old.bites !== now.bites || old.dust !== now.dust || old.bake !== now.bake || old.seed !== now.seed) meant.value = now;
});

effect(() => {
  const of = meant.value;
  if (!of) return;
  try {
    localStorage.setItem(KEY, JSON.stringify({ about: about(of), bath: of.bath }));
  } catch {
    // A forbidden store only means that the offer lasts as long as the page.
  }
});

const SameValues = later('The minutes for this bath', async () => (await import('../backwards/SameValues')).SameValues);

/** “What if it is 17 °C today?”: offered when the bath has changed and the minutes have not. */
export function TodaysBath() {
  const before = meant.value;
  if (!before || before.bites.length === 0 || JSON.stringify(before.bath) === JSON.stringify(plan.value.bath)) return null;
  return <SameValues before={before} />;
}
