import { signal } from '@preact/signals';
import type { Catalogue, Range, UsUnit } from '../engine/protocol.ts';

/** Controls, limits, units, constants and the default plan; null until the worker has answered. */
export const catalogue = signal<Catalogue | null>(null);

export type Limits = Pick<Range, 'min' | 'max' | 'step'>;

/** Before anything can be typed. */
const UNKNOWN: Limits = { min: -Infinity, max: Infinity, step: 0.01 };

/** Limits and step of a number of the plan: of a field by its key, of others by their path without places in lists. */
export function limitsOf(key: string): Limits {
  const { fields = [], ranges = [] } = catalogue.value ?? {};
  const { min, max, step } = fields.find((one) => one.key === key) ?? ranges.find((one) => one.key === key) ?? UNKNOWN;
  return { min, max, step };
}

/** The same as a pair. */
export function rangeOf(key: string): [least: number, most: number] {
  const { min, max } = limitsOf(key);
  return [min, max];
}

/** Rounds to a number's step and its limits without leaving the dust of binary fractions. */
export function toStep({ min, max, step }: Limits, value: number): number {
  return Math.min(max, Math.max(min, Number((Math.round(value / step) * step).toFixed(4))));
}

/** Nearest time that a bite can have, minutes. */
export function toQuarter(minutes: number): number {
  return toStep(limitsOf('bites.bite_min'), minutes);
}

/** How a metric unit is shown to US readers, where it is shown otherwise; `sign` chooses among several. */
export function usUnit(metric: string, sign?: string): UsUnit | undefined {
  return catalogue.value?.us_units.find((one) => one.metric === metric && (sign ?? one.sign) === one.sign);
}
