/*
 * Sentences of the core name metric units. In US units they are rewritten here, in one place; grain sizes and depths
 * in µm stay as they are, as everywhere.
 */

/** Numbers, alone, as a range or as two sides, before one of the units that have a US counterpart. */
const MEASURED = /(?<before>\b(?:each|by|within|every)\s|±\s?)?(?<!\d)(?<a>-?\d+(?:\.\d+)?)(?:(?<join>\s?–\s?|\sto\s|\sand\s|\s×\s)(?<b>-?\d+(?:\.\d+)?))?\s(?<unit>°C|mm|cm|m|L)(?![\w*²³/])/gu;

const INCHES: Record<string, number> = { mm: 1 / 25.4, cm: 1 / 2.54, m: 1 / 0.0254 };

function number(text: string, unit: string, difference: boolean): string {
  const metric = Number(text);
  if (unit === '°C') return String(Math.round(metric * 1.8 + (difference ? 0 : 32)));
  if (unit === 'L') return String(Number((metric / 0.946353).toFixed(2)));
  const inches = metric * (INCHES[unit] ?? 1);
  return String(Number(inches.toFixed(Math.abs(inches) < 0.1 ? 3 : Math.abs(inches) < 20 ? 2 : 0)));
}

/** A sentence of the core with its lengths in inches, temperatures in °F and volumes in quarts. */
export function inUsUnits(sentence: string): string {
  return sentence.replace(MEASURED, (...found) => {
    const { before = '', a, join = '', b, unit } = found.at(-1) as Record<'before' | 'a' | 'join' | 'b' | 'unit', string>;
    const of = (text: string): string => number(text, unit, before !== '');
    return `${before}${of(a)}${b === undefined ? '' : join + of(b)} ${unit === '°C' ? '°F' : unit === 'L' ? 'qt' : 'in'}`;
  });
}
