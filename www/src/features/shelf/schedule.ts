import type { Plan } from '../../engine/protocol.ts';
import { conversion, units } from '../../store/settings.ts';
import { minutesWords } from '../../ui/MinutesEntry.tsx';

/** The bites in a line: "7 bites: ½, 1, 2 min, 12 min in all; 150 × 200 mm". */
export function schedule({ bites, plate }: Plan): string {
  const minutes = bites.map((bite) => minutesWords(bite.bite_min)).join(' · ');
  const total = bites.reduce((sum, bite) => sum + bite.bite_min, 0);
  return `${bites.length} bites: ${minutes} min, ${minutesWords(total)} min in all; ${sizeWords(plate)}`;
}

/** Width × height, in the reader's units. */
function sizeWords({ width_mm, height_mm }: Plan['plate']): string {
  const { to, unit, decimals } = conversion('mm', 1);
  return `${[width_mm, height_mm].map((mm) => Number(to(mm).toFixed(decimals))).join(' × ')} ${unit}`;
}

/** When it was kept, as a reader says it. */
export function whenWords(at: number): string {
  const us = units.value === 'us';
  return new Date(at).toLocaleString('en-GB', { day: 'numeric', month: 'long', year: 'numeric', hour: us ? 'numeric' : '2-digit', minute: '2-digit', hour12: us });
}
