import { effect, signal } from '@preact/signals';
import type { Field } from '../engine/protocol.ts';
import type { Diagnostic, Sentence } from '../engine/protocol.ts';
import { usUnit } from './catalogue.ts';
import { persisted } from './persisted.ts';

export type Units = 'metric' | 'us';
export type Light = 'paper' | 'dim';
/** Pane in the upper half of a phone's screen. */
export type Pane = 'proof' | 'tester' | 'cut';

/** The user's choices; a light that matches the system's is not stored. */
const chosen = persisted<{ units?: Units; light?: Light; steps?: 'all'; grain?: 'looked-at'; sheet?: 'short' }>('platewright.settings', {}, (kept) => {
  const { units, light, steps, grain, sheet } = kept as Partial<Record<'units' | 'light' | 'steps' | 'grain' | 'sheet', unknown>>;
  return {
    ...(units === 'us' || units === 'metric' ? { units } : {}),
    ...(light === 'dim' || light === 'paper' ? { light } : {}),
    ...(steps === 'all' ? { steps } : {}),
    ...(grain === 'looked-at' ? { grain } : {}),
    ...(sheet === 'short' ? { sheet } : {}),
  };
});
const systemLight: Light = matchMedia('(prefers-color-scheme: dark)').matches ? 'dim' : 'paper';

export const units = signal<Units>(chosen.peek().units ?? 'metric');
export const light = signal<Light>(chosen.peek().light ?? systemLight);
/** Every step of the plan stands unfolded, rather than one. */
export const allSteps = signal(chosen.peek().steps === 'all');
/** Every grain of the proof is reckoned, rather than those that are looked at: a laptop or a phone can spare its battery. */
export const everyGrain = signal(chosen.peek().grain !== 'looked-at');
/** The bench sheet holds times, weights and marks alone, for those who know the rest. */
export const shortSheet = signal(chosen.peek().sheet === 'short');
export const pane = signal<Pane>('proof');

effect(() => {
  document.documentElement.dataset.light = light.value;
  chosen.value = {
    units: units.value, ...(light.value === systemLight ? {} : { light: light.value }), ...(allSteps.value ? { steps: 'all' } : {}),
    ...(everyGrain.value ? {} : { grain: 'looked-at' }), ...(shortSheet.value ? { sheet: 'short' } : {}),
  };
});

interface Conversion { unit: string; to: (metric: number) => number; from: (shown: number) => number; decimals: number }

/** Conversion of a metric unit to the reader's units. Grain sizes stay in µm everywhere. */
export function conversion(unit: string, decimals: number): Conversion {
  const us = units.value === 'us' ? usUnit(unit) : undefined;
  return us
    ? { unit: us.sign, decimals: us.decimals, to: (metric) => metric * us.times + us.plus, from: (shown) => (shown - us.plus) / us.times }
    : { unit, decimals, to: (x) => x, from: (x) => x };
}

export function decimalsOf(step: number): number {
  const text = String(step);
  const dot = text.indexOf('.');
  return dot < 0 ? 0 : text.length - dot - 1;
}

export function shown(field: Field): Conversion {
  return conversion(field.unit, decimalsOf(field.step));
}

/** A sentence of the core in the reader's units. */
export function worded(sentence: Sentence): string {
  return units.value === 'us' ? sentence.us : sentence.metric;
}

/** What is wrong and what to do about it, in the reader's units. */
export function explained({ sentence }: Diagnostic): string {
  return worded(sentence);
}

/** Formats a quantity with its unit, in the reader's units. */
export function measured(metric: number, metricUnit: string, decimals: number): string {
  const { to, unit, decimals: digits } = conversion(metricUnit, decimals);
  return `${to(metric).toFixed(digits)} ${unit}`;
}

/** Formats a length with its unit. */
export function lengthWords(mm: number, decimals = 0): string {
  return measured(mm, 'mm', decimals);
}
