import type { Plan } from '../engine/protocol.ts';
import { summary } from './results.ts';

/** The share of the plate per value, paper first; evenly shared out until the numbers are in. */
export function sharesOf(of: Plan): number[] {
  const shares = summary.value?.values.map((value) => value.area_share);
  const values = of.bites.length + 1;
  return shares?.length === values ? shares : new Array<number>(values).fill(1 / values);
}
