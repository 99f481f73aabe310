import { signal } from '@preact/signals';
import { askStudies } from '../engine/studies.ts';

/** Density of every tenth of L* from 0 to 100, from the Rust; empty until it is there. */
const tenths = signal<Float64Array>(new Float64Array());

/** Asks for what the others need, once. */
export function askTones(): void {
  if (tenths.value.length === 0) askStudies('densities_of_tenths').then((densities) => { tenths.value = densities; }, () => undefined);
}

/** Reflection density of a lightness in words, between two of the table. */
export function densityWords(lightness: number): string {
  const at = Math.min(999, Math.max(0, Math.floor(lightness * 10)));
  const [lighter = NaN, darker = NaN] = [tenths.value[at + 1], tenths.value[at]];
  const density = darker + (lighter - darker) * (lightness * 10 - at);
  return Number.isNaN(density) ? '…' : density.toFixed(2);
}

export function lightnessOfDensity(density: number): number {
  const found = tenths.value.findIndex((one) => one <= density);
  const [lighter = NaN, darker = lighter] = [tenths.value[found], tenths.value[found - 1]];
  return Math.max(0, found - (darker > lighter ? (density - lighter) / (darker - lighter) : 0)) / 10;
}
