import { computed, effect, signal } from '@preact/signals';
import { askStudies } from '../engine/studies.ts';
import type { Amounts, PlateOf } from '../engine/protocol.ts';
import type { Known, Shop } from './types.ts';
import { persisted } from '../store/persisted.ts';
import { plan } from '../store/plan.ts';
import { soundPlan, summary } from '../store/results.ts';
import { units } from '../store/settings.ts';

/* What the bench sheet and the clock ask beside the plan: the room, the day, the amounts. */

/** A quarter square metre of box, half an hour to stop out and dry: common practice, no source. */
const USUAL: Shop = { begin_min: 540, between_min: 30, floor_cm: [50, 50], impressions: 5 };

export const SHOP_LIMITS = { between_min: [0, 240], floor_cm: [10, 500], impressions: [1, 500] } as const;

export const shop = persisted<Shop>('platewright.shop', USUAL, (from) => {
  const kept = from as Record<string, unknown>;
  const number = (x: unknown, [least, most]: readonly [number, number], usual: number): number =>
    (typeof x === 'number' && x >= least && x <= most ? x : usual);
  const floor = Array.isArray(kept.floor_cm) ? kept.floor_cm as unknown[] : [];
  return {
    begin_min: Math.round(number(kept.begin_min, [0, 1439], USUAL.begin_min)),
    between_min: number(kept.between_min, SHOP_LIMITS.between_min, USUAL.between_min),
    floor_cm: [number(floor[0], SHOP_LIMITS.floor_cm, USUAL.floor_cm[0]), number(floor[1], SHOP_LIMITS.floor_cm, USUAL.floor_cm[1])],
    impressions: Math.round(number(kept.impressions, SHOP_LIMITS.impressions, USUAL.impressions)),
  };
});

export function setShop(next: Partial<Shop>): void {
  shop.value = { ...shop.value, ...next };
}

/** Amounts of the newest sound plan; null until they are reckoned. */
export const amounts = signal<Amounts | null>(null);

/** Everything the list of steps is made from. */
export const known = computed<Known>(() => ({
  plan: plan.value, summary: summary.value, amounts: amounts.value, shop: shop.value, units: units.value,
}));

/** They belong to the plan and the shop as they stand, not to those before the last change. */
export const amountsFresh = signal(false);

/** Why there are none, in a sentence, or null. */
export const amountsWrong = signal<string | null>(null);

/** The newest sound plan with its shares; null while one of the two is still to come. */
export const plateNow = computed<PlateOf | null>(() => {
  const shares = summary.value?.values.map(({ area_share }) => area_share) ?? [];
  return soundPlan.value && shares.length === plan.value.bites.length + 1 ? { plan: soundPlan.value, shares } : null;
});

/** Keeps the amounts up to date as long as somebody looks; gives the way to stop. */
export function keepAmounts(): () => void {
  let newest = 0;
  return effect(() => {
    const { floor_cm: [wide, deep], impressions } = shop.value;
    const of = plateNow.value;
    if (!of) return;
    newest += 1;
    const mine = newest;
    amountsFresh.value = false;
    askStudies('bench', of, wide, deep, impressions).then(
      (found) => { if (mine === newest) { amounts.value = found; amountsWrong.value = null; amountsFresh.value = true; } },
      (error: unknown) => { if (mine === newest) amountsWrong.value = error instanceof Error ? error.message : String(error); },
    );
  });
}
