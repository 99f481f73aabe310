import { usUnit } from '../store/catalogue.ts';
import type { Units } from '../store/settings.ts';

/*
 * Quantities in words for the bench, in metric or US units. A no-break space keeps number and unit
 * together. Weights and small volumes keep their grams and millilitres in US units, too: ink and
 * powder are weighed on gram scales everywhere.
 */

const NBSP = '\u00a0';

const few = (x: number): string => (x < 10 ? x.toFixed(1) : x.toFixed(0));

/** A number in US units, with so many digits; undefined for metric readers, and for what stays metric. */
function inUs(value: number, metric: string, units: Units, digits: number, sign?: string): string | undefined {
  const us = units === 'us' ? usUnit(metric, sign) : undefined;
  return us && `${(value * us.times + us.plus).toFixed(digits)}${NBSP}${us.sign.replace(' ', NBSP)}`;
}

export function weight(g: number, units: Units): string {
  const grams = `${few(g)}${NBSP}g`;
  const ounces = inUs(g, 'g', units, 2);
  return ounces ? `${ounces} (${grams})` : grams;
}

export function measure(ml: number, units: Units): string {
  const millilitres = `${few(ml)}${NBSP}ml`;
  // A dozen spoons and more are poured.
  const us = inUs(ml, 'ml', units, 1, ml * (usUnit('ml')?.times ?? 0) < 12 ? 'tsp' : 'fl oz');
  return us ? `${us} (${millilitres})` : millilitres;
}

export function volume(l: number, units: Units): string {
  return inUs(l, 'L', units, 1) ?? `${l.toFixed(1)}${NBSP}L`;
}

export function warmth(c: number, units: Units): string {
  return inUs(c, '°C', units, 0) ?? `${Number(c.toFixed(1))}${NBSP}°C`;
}

/** A difference of temperature. */
export function warmer(c: number, units: Units): string {
  const us = units === 'us' ? usUnit('°C') : undefined;
  return us ? `${(c * us.times).toFixed(0)}${NBSP}${us.sign}` : `${c}${NBSP}°C`;
}

/** A length in the precision of a rule. */
export function length(mm: number, units: Units): string {
  return inUs(mm, 'mm', units, 2) ?? `${Number(mm.toFixed(1))}${NBSP}mm`;
}

/** Width × height. */
export function size(width_mm: number, height_mm: number, units: Units): string {
  const [width = '', height = ''] = [width_mm, height_mm].map((mm) => length(mm, units));
  return `${width.split(NBSP)[0] ?? ''} × ${height}`;
}

/** The floor of the dust box. */
export function floor([wide, deep]: [number, number], units: Units): string {
  const [across = '', down = ''] = [wide, deep].map((cm) => inUs(cm, 'cm', units, 0) ?? `${cm} cm`);
  return `${across.split(/[ \u00a0]/)[0] ?? ''} × ${down}`;
}

export function thickness(mm: number, units: Units): string {
  return inUs(mm, 'mm', units, 3) ?? `${mm}${NBSP}mm`;
}

/** A time of day, minutes after midnight: 19:04, or 7:04 pm; with its seconds where they are given. */
export function timeOfDay(minutes: number, units: Units, seconds?: number): string {
  const two = (n: number): string => String(n).padStart(2, '0');
  const hour = Math.floor(minutes / 60) % 24;
  const rest = [minutes % 60, ...(seconds === undefined ? [] : [seconds])].map((n) => `:${two(Math.floor(n))}`).join('');
  if (units === 'metric') return two(hour) + rest;
  return `${hour % 12 || 12}${rest}${NBSP}${hour < 12 ? 'am' : 'pm'}`;
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
