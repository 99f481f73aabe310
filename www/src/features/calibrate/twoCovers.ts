import { signal } from '@preact/signals';
import { askStudies } from '../../engine/studies.ts';
import type { CoverPlate, CoversFit, Plan } from '../../engine/protocol.ts';
import { wordsOf } from '../../engine/workerClient.ts';
import { persisted } from '../../store/persisted.ts';
import { onBench } from './kept.ts';
import { today } from '../../store/today.ts';

/* Two step plates under grounds of unlike cover. They are kept in the browser: days may lie between one and the other. */

/** A step plate with the plan that it was laid and bitten by. */
export type Kept = CoverPlate & { at: string };

export const twoCovers = persisted<(Kept | null)[]>('platewright.two-covers', [null, null], (kept) => {
  const all = Array.isArray(kept) ? kept as unknown[] : [];
  return [0, 1].map((i) => {
    const one = (all[i] ?? {}) as Partial<Kept>;
    // The Rust checks plan, minutes and readings.
    return typeof one.plan === 'object' && Array.isArray(one.bite_min) && Array.isArray(one.readings) && typeof one.kind === 'string' && typeof one.at === 'string' ? one as Kept : null;
  });
});

export const coversFit = signal<CoversFit | null>(null);
export const coversFailed = signal('');
export const coversBusy = signal(false);

function put(index: number, one: Kept | null): void {
  [coversFit.value, coversFailed.value] = [null, ''];
  twoCovers.value = twoCovers.value.map((old, i) => (i === index ? one : old));
}

/** How many steps of the plate on the bench have been read. */
export const readOnBench = (): number => (onBench.value.proof ? 0 : onBench.value.readings.filter((one) => one !== null).length);

/** Keeps the step plate on the bench, as it was bitten and read, with the plan in hand. */
export function takeFromBench(index: number, plan: Plan): void {
  const { bite_min, kind, readings, out } = onBench.value;
  put(index, { plan, bite_min, kind, readings: bite_min.map((_, i) => (out.includes(i) ? null : readings[i] ?? null)), at: today() });
}

export function takeOut(index: number): void {
  put(index, null);
}

/** What both tell together. */
export async function compareCovers(): Promise<void> {
  const [first, second] = twoCovers.value;
  if (!first || !second) return;
  coversBusy.value = true;
  try {
    const told = await askStudies('fit_covers', [first, second]);
    [coversFit.value, coversFailed.value] = [told, ''];
  } catch (error) {
    [coversFit.value, coversFailed.value] = [null, wordsOf(error)];
  } finally {
    coversBusy.value = false;
  }
}
