import { effect, signal } from '@preact/signals';
import type { Plan } from '../../engine/protocol.ts';
import { persisted } from '../../store/persisted.ts';
import { plan } from '../../store/plan.ts';
import { later } from '../../ui/Later.tsx';

/** The plan as of the last change of its minutes: it defines the intended values. */
const meant = signal<Plan | null>(null);

/** The bath that the minutes were set for, kept for a reload. It is checked with the rest of the plan when used. */
const minutesFor = persisted<{ about: string; bath: Plan['bath'] } | null>('platewright.minutes-for', null, (kept) => {
  const { about: of, bath } = kept as { about?: unknown; bath?: unknown };
  return typeof of === 'string' && typeof bath === 'object' && bath ? { about: of, bath: bath as Plan['bath'] } : null;
});

/** Everything that the minutes depend on except the bath. */
const about = ({ bites, dust, bake, seed }: Plan): string => JSON.stringify([bites, dust, bake, seed]);

/** The plan with the bath kept before a reload, if that belongs to the same plan. */
function asMeant(now: Plan): Plan {
  const kept = minutesFor.peek();
  return kept?.about === about(now) ? { ...now, bath: kept.bath } : now;
}

effect(() => {
  const now = plan.value;
  const old = meant.peek();
  if (now.bites.length === 0) return;
  if (!old) {
    meant.value = asMeant(now);
    return;
  }
  // New minutes or a new ground redefine the intended values.
  if (old.bites !== now.bites || old.dust !== now.dust || old.bake !== now.bake || old.seed !== now.seed) meant.value = now;
});

effect(() => {
  const of = meant.value;
  if (of) minutesFor.value = { about: about(of), bath: of.bath };
});

const SameValues = later('The minutes for this bath', async () => (await import('../backwards/SameValues.tsx')).SameValues);

/** “What if it is 17 °C today?”: offered when the bath has changed and the minutes have not. */
export function TodaysBath() {
  const before = meant.value;
  if (!before || before.bites.length === 0 || JSON.stringify(before.bath) === JSON.stringify(plan.value.bath)) return null;
  return <SameValues before={before} />;
}
