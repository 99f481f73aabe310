import { signal } from '@preact/signals';
import { askStudies } from '../engine/studies.ts';

/** Density of every tenth of L* from 0 to 100, from the Rust; empty until it is there. */
const tenths = signal<Float64Array>(new Float64Array());

/** Asks for what the others need, once. */
export function askTones(): void {
  if (tenths.value.length === 0) askStudies('densities_of_tenths').then((densities) => { tenths.value = densities; }, () => undefined);
}

/** Reflection density of a lightness in words. */
export function densityWords(lightness: number): string {
  const density = densityAt(tenths.value, lightness);
  return Number.isNaN(density) ? '…' : density.toFixed(2);
}

export function lightnessOfDensity(density: number): number {
  return lightnessAt(tenths.value, density);
}

/** The density of a lightness, between two of the table; NaN where there is no table yet. */
export function densityAt(table: Float64Array, lightness: number): number {
  const at = Math.min(999, Math.max(0, Math.floor(lightness * 10)));
  const [lighter = NaN, darker = NaN] = [table[at + 1], table[at]];
  return darker + (lighter - darker) * (lightness * 10 - at);
}

/** The lightness of a density, the other way through the table. */
export function lightnessAt(table: Float64Array, density: number): number {
  const found = table.findIndex((one) => one <= density);
  const [lighter = NaN, darker = lighter] = [table[found], table[found - 1]];
  return Math.max(0, found - (darker > lighter ? (density - lighter) / (darker - lighter) : 0)) / 10;
}
