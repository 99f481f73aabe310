import { usUnit } from '../store/catalogue.ts';
import type { Units } from '../store/settings.ts';

/** “115 and 135 °C”, or one of them. */
const DEGREES = /(\d+)(?:( and | to )(\d+))?( |\u00a0)°C/g;
/** What reads otherwise in US units: `‹ten|18› degrees`. */
const EITHER = /‹([^|›]*)\|([^›]*)›/g;

/**
 * Words of a text in the reader's units: temperatures are converted, and of `‹metric|US›` one is taken. As in the entries
 * of the plan, grain stays in µm and mm², strength in °Bé, powder in g/m², dust in g/m³ and copper in g/L.
 */
export function inUnits(words: string, units: Units): string {
  const us = units === 'us' ? usUnit('°C') : undefined;
  if (!us) return words.replace(EITHER, '$1');
  const to = (c: string): string => (Number(c) * us.times + us.plus).toFixed(us.decimals);
  return words.replace(EITHER, '$2').replace(DEGREES, (_, from: string, between: string | undefined, upTo: string | undefined, space: string) =>
    `${to(from)}${between && upTo ? between + to(upTo) : ''}${space}${us.sign}`);
}
