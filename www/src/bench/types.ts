import type { Plan, Summary } from '../reckon/protocol';
import type { BenchAmounts } from '../reckon/shopProtocol';
import type { Units } from '../state/settings';

/* What the list of steps is made of. */

export type BenchPart = 'ground' | 'bath' | 'print' | 'states';

export interface BenchStep {
  id: string;
  part: BenchPart;
  name: string;
  /** What to do, a sentence or two each. */
  todo: string[];
  /** What to look for, and what it means if it isn't so. */
  look?: string;
  ifNot?: string;
  /** What not to forget. */
  mind?: string;
  caution?: string;
  /** Set time, s; null where a step takes as long as it takes. */
  seconds: number | null;
  /** Minutes allowed for such a step in the sheet's clock times. Common practice, no source. */
  allow_min: number;
  /** Bites of the plan that run as this one, first and last; the last is the value that is done. */
  bite?: [number, number];
  /** Number of the value to be stopped out. */
  stop?: number;
}

/** What the shop has: kept beside the plan, since it belongs to the room and the day. */
export interface Shop {
  /** When the work begins, minutes after midnight. */
  begin_min: number;
  /** Minutes between two bites, for rinsing, stopping out and drying. */
  between_min: number;
  /** Floor of the dust box, cm. */
  floor_cm: [number, number];
  /** Impressions the ink is mixed for. */
  impressions: number;
}

export interface Known {
  plan: Plan; summary: Summary | null; amounts: BenchAmounts | null;
  shop: Shop; units: Units;
}
