import type { Plan } from '../../engine/protocol.ts';
import { clockWords, size, thickness, timeWords, volume, warmth } from '../../steps/benchUnits.ts';
import { inOrder, numberWords, type Impression, type RanStep } from '../../store/plateRecord.ts';
import type { Units } from '../../store/settings.ts';
import { lastState, stateWords } from '../../store/versions.ts';
import { minutesWords } from '../../ui/MinutesEntry.tsx';

/* What a record says, in words. */

/** A day or a moment as a reader says it: 30 November 2026. */
export function dayWords(day: string | number, month: 'long' | 'short' = 'long'): string {
  const at = typeof day === 'number' ? new Date(day) : new Date(`${day}T12:00:00`);
  return at.toLocaleDateString('en-GB', { day: 'numeric', month, year: 'numeric' });
}

/** The plan in three lines: copper, ground and bath, bites. */
export function planInShort(plan: Plan, units: Units): string[] {
  const { plate, dust, bake, bath, bites, edition, picture: { source } } = plan;
  const total = bites.reduce((sum, { bite_min }) => sum + bite_min, 0);
  return [
    `Copper ${size(plate.width_mm, plate.height_mm, units)}, ${thickness(plate.thickness_mm, units)}; ${typeof source === 'string' ? 'harbour at dusk' : `after “${source.file}”`}`
      + `${stateWords(plan) && `; ${stateWords(plan)}`}${edition ? `; an edition of ${edition.impressions} planned` : ''}`,
    `Powder ${Number(dust.powder_g_per_m2)}\u00a0g/m², wait ${Number(dust.wait_s)}\u00a0s, ${minutesWords(Number(dust.dusting_min))}\u00a0min in the box; hot plate ${warmth(Number(bake.hot_plate_c), units)}, `
      + `${minutesWords(Number(bake.bake_min))}\u00a0min; bath ${Number(bath.strength_be)}\u00a0°Bé, ${warmth(Number(bath.temperature_c), units)}, ${volume(Number(bath.volume_l), units)}`,
    `Bites: ${bites.map(({ bite_min }) => minutesWords(bite_min)).join(' · ')}\u00a0min, ${minutesWords(total)}\u00a0min in all`,
  ];
}

/** What a photograph can show of a plate. */
export function proofsOf(plan: Plan | null, also = 0): [number, string][] {
  const last = Math.max(plan ? lastState(plan) : 1, also);
  const states = Array.from({ length: last }, (_, i): [number, string] => {
    const words = plan && i < lastState(plan) ? stateWords(plan, i + 1) : '';
    return [i + 1, words ? `proof of ${words}` : i === 0 && last === 1 ? 'a proof' : `proof of state ${i + 1}`];
  });
  return [[0, 'the plate itself'], ...states];
}

/** By how much a step ran otherwise than planned: +0:50; empty where it did not, or where one of the two is missing. */
export function overWords({ planned_s, ran_s }: Pick<RanStep, 'planned_s' | 'ran_s'>): string {
  if (planned_s === null || ran_s === null) return '';
  const over = Math.round(ran_s - planned_s);
  return over === 0 ? '' : `${over > 0 ? '+' : '−'}${clockWords(Math.abs(over))}`;
}

/** A bite that ran otherwise by less than this tells nothing, s. */
const TELLS_S = 10;

/** What the clock says of bites that ran otherwise than planned: “Bite 3 ran 2:45 instead of 2:30”; empty where none did. */
export function bitesThatRanOtherwise(steps: readonly Pick<RanStep, 'id' | 'name' | 'planned_s' | 'ran_s'>[]): string {
  const all = steps.filter(({ id, planned_s, ran_s }) => id.startsWith('bite-') && planned_s !== null && ran_s !== null && Math.abs(ran_s - planned_s) >= TELLS_S);
  return all.map(({ name, planned_s, ran_s }) => `${name} ran ${clockWords(ran_s ?? 0)} instead of ${clockWords(planned_s ?? 0)}`).join(', ');
}

export const plannedWords = ({ planned_s }: Pick<RanStep, 'planned_s'>): string => (planned_s === null ? '' : timeWords(planned_s));

/** A line of impressions: one, or several that follow each other with nothing to tell them apart. */
export interface ImpressionLine { numbers: string; at: string; paper: string; word: string; destroyed: boolean }

export function impressionLines(impressions: readonly Impression[]): ImpressionLine[] {
  const lines: { first: Impression; last: Impression }[] = [];
  for (const one of inOrder(impressions)) {
    const open = lines.at(-1);
    const same = open && open.last.kind === one.kind && open.last.number + 1 === one.number
      && ([open.last, one].map(({ of, at, paper, word, destroyed }) => JSON.stringify([of, at, paper, word, destroyed]))).every((text, _, [before]) => text === before);
    if (open && same) open.last = one;
    else lines.push({ first: one, last: one });
  }
  return lines.map(({ first, last }) => ({
    numbers: first === last ? numberWords(first) : `${numberWords(first)} to ${numberWords(last)}`,
    at: first.at, paper: first.paper, word: first.word, destroyed: first.destroyed,
  }));
}
