import type { Plan, Summary } from '../../engine/protocol.ts';
import { minutesWords } from '../../ui/MinutesEntry.tsx';
import type { StepName } from '../../store/place.ts';
import { lengthWords, measured } from '../../store/settings.ts';

const percent = (share: number): string => `${(100 * share).toFixed(0)} %`;

/** What a step comes to, in one line; nothing while it has not been calculated. */
export const stepWords: Record<StepName, (plan: Plan, now: Summary | null, picture: string | null) => string> = {
  picture: ({ plate, bites }, _, picture) =>
    `${picture ?? 'harbour at dusk'}, ${lengthWords(plate.width_mm)} × ${lengthWords(plate.height_mm)}, ${bites.length} values`,
  dust: ({ dust }, now) => [dust.dustings > 1 ? `${dust.dustings} dustings` : '', now ? `${percent(now.dust.loose_cover)} covered from above` : ''].filter(Boolean).join(', '),
  bake: (_, now) => (now ? `${percent(now.ground.cover)} of the copper covered, ${now.ground.islands_per_mm2.toFixed(0)} islands per mm²` : ''),
  bath: ({ bath }, now) => [measured(bath.strength_be, '°Bé', 1), measured(bath.temperature_c, '°C', 0), now ? `${(now.bath.rate_um_per_min[0] ?? 0).toFixed(1)} µm a minute` : ''].filter(Boolean).join(', '),
  bites: ({ bites }) => `${bites.length === 1 ? 'one' : bites.length}, ${minutesWords(bites.reduce((sum, { bite_min }) => sum + bite_min, 0))} min in all`,
  ink: (_, now) => {
    const [paper, darkest] = [now?.values[0], now?.values.at(-1)];
    return paper && darkest ? `L* ${paper.lightness.toFixed(0)} to ${darkest.lightness.toFixed(0)}` : '';
  },
  states: ({ states }) => (states?.length ? `${states.length + 1} states` : 'the first proof'),
};
