import type { Units } from './settings';

/*
 * Quantities in words for the bench, in metric or US units. A no-break space keeps number and unit
 * together. Weights and small volumes keep their grams and millilitres in US units, too: ink and
 * powder are weighed on gram scales everywhere.
 */

const NBSP = '\u00a0';
const G_PER_OZ = 28.3495;
const ML_PER_TSP = 4.92892;
const ML_PER_FL_OZ = 29.5735;
const L_PER_QT = 0.946353;
const MM_PER_IN = 25.4;

const few = (x: number): string => (x < 10 ? x.toFixed(1) : x.toFixed(0));

export function weight(g: number, units: Units): string {
  const grams = `${few(g)}${NBSP}g`;
  return units === 'us' ? `${(g / G_PER_OZ).toFixed(2)}${NBSP}oz (${grams})` : grams;
}

export function measure(ml: number, units: Units): string {
  const millilitres = `${few(ml)}${NBSP}ml`;
  if (units !== 'us') return millilitres;
  const spoons = ml / ML_PER_TSP;
  const us = spoons < 12 ? `${spoons.toFixed(1)}${NBSP}tsp` : `${(ml / ML_PER_FL_OZ).toFixed(1)}${NBSP}fl${NBSP}oz`;
  return `${us} (${millilitres})`;
}

export function volume(l: number, units: Units): string {
  return units === 'us' ? `${(l / L_PER_QT).toFixed(1)}${NBSP}qt` : `${l.toFixed(1)}${NBSP}L`;
}

export function warmth(c: number, units: Units): string {
  return units === 'us' ? `${(c * 1.8 + 32).toFixed(0)}${NBSP}°F` : `${Number(c.toFixed(1))}${NBSP}°C`;
}

/** A difference of temperature. */
export function warmer(c: number, units: Units): string {
  return units === 'us' ? `${(c * 1.8).toFixed(0)}${NBSP}°F` : `${c}${NBSP}°C`;
}

/** A length in the precision of a rule. */
export function length(mm: number, units: Units): string {
  return units === 'us' ? `${(mm / MM_PER_IN).toFixed(2)}${NBSP}in` : `${Number(mm.toFixed(1))}${NBSP}mm`;
}

/** Width × height. */
export function size(width_mm: number, height_mm: number, units: Units): string {
  const one = (mm: number): string => (units === 'us' ? (mm / MM_PER_IN).toFixed(2) : String(Number(mm.toFixed(1))));
  return `${one(width_mm)} × ${one(height_mm)}${NBSP}${units === 'us' ? 'in' : 'mm'}`;
}

export function thickness(mm: number, units: Units): string {
  return units === 'us' ? `${(mm / MM_PER_IN).toFixed(3)}${NBSP}in` : `${mm}${NBSP}mm`;
}

/** Minutes and seconds: 2:05, or 1:02:05 from an hour on. */
export function clockWords(seconds: number): string {
  const whole = Math.max(0, Math.floor(seconds));
  const two = (n: number): string => String(n).padStart(2, '0');
  const [h, m, s] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60, whole % 60];
  return h > 0 ? `${h}:${two(m)}:${two(s)}` : `${m}:${two(s)}`;
}

/** The same for screen readers: “2 minutes 5 seconds”. */
export function spokenTime(seconds: number): string {
  const whole = Math.max(0, Math.round(seconds));
  const count = (n: number, unit: string): string => (n > 0 ? `${n} ${unit}${n === 1 ? '' : 's'}` : '');
  const words = [count(Math.floor(whole / 60), 'minute'), count(whole % 60, 'second')].filter(Boolean).join(' ');
  return words || '0 seconds';
}

/** A set time, short: 45 s, 2¼ min. */
export function timeWords(seconds: number): string {
  if (seconds < 60 || (seconds < 120 && seconds % 15 !== 0)) return `${seconds}${NBSP}s`;
  const quarters = Math.round(seconds / 15);
  if (Math.abs(quarters * 15 - seconds) > 0.5) return clockWords(seconds);
  return `${Math.floor(quarters / 4)}${['', '¼', '½', '¾'][quarters % 4] ?? ''}${NBSP}min`;
}
