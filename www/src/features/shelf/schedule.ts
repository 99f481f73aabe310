import type { Plan } from '../../engine/protocol.ts';
import { units } from '../../store/settings.ts';
import { minutesWords } from '../../ui/MinutesEntry.tsx';

/** The bites in a line: "7 bites: ½, 1, 2 min, 12 min in all; 150 × 200 mm". */
export function schedule({ bites, plate }: Plan): string {
  const minutes = bites.map((bite) => minutesWords(bite.bite_min)).join(' · ');
  const total = bites.reduce((sum, bite) => sum + bite.bite_min, 0);
  return `${bites.length} bites: ${minutes} min, ${minutesWords(total)} min in all; ${plate.width_mm} × ${plate.height_mm} mm`;
}

/** When it was kept, as a reader says it. */
export function whenWords(at: number): string {
  const us = units.value === 'us';
  return new Date(at).toLocaleString('en-GB', { day: 'numeric', month: 'long', year: 'numeric', hour: us ? 'numeric' : '2-digit', minute: '2-digit', hour12: us });
}
