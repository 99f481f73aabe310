import type { Allowed, Camera, ReadingKind } from '../../engine/protocol.ts';
import { persisted } from '../../store/persisted.ts';
import { rangeOf } from '../../store/catalogue.ts';

/* What is being read is kept in the browser: days may lie between bite and reading. */

/** One step beyond those that are shown: it comes back with the number of steps. */
export interface Beyond { bite_min: number; reading: number | null }

/** Steps, minutes of each bite as they really ran, and what was read; null where nothing was. */
export interface Bench {
  /** A proof of the plan itself, a value a step, and not a step plate. */
  proof: boolean;
  steps: number; bite_min: number[]; readings: (number | null)[]; beyond: Beyond[];
  /** In what the readings are given, and whether somebody has chosen so. */
  kind: ReadingKind; chosen: boolean;
  /** Steps whose readings are left out of the fit. */
  out: number[];
  /** What is found beside the constants. */
  allowed: Allowed;
  /** The camera of the photograph that was read. */
  camera: Camera | null;
}

export const FRESH: Bench = {
  proof: false, steps: 8, bite_min: [], readings: [], beyond: [], kind: 'density', chosen: false, out: [], allowed: { bites: [], ground: false }, camera: null,
};

const MOST_VALUES = 12;

/** What was kept, where it is sound; the Rust checks minutes and readings. */
function benchOf(kept: unknown): Bench | null {
  if (typeof kept !== 'object' || kept === null) return null;
  const one = { ...FRESH, ...(kept as Partial<Bench>) };
  const [fewest, most] = one.proof ? [1, MOST_VALUES] : rangeOf('calibration.steps');
  const { steps, bite_min, readings, kind, beyond, out, allowed, camera } = one;
  const places = (all: unknown): boolean => Array.isArray(all) && all.every((place) => Number.isInteger(place) && place >= 0 && place < MOST_VALUES);
  const sound = Number.isInteger(steps) && steps >= fewest && steps <= most && Array.isArray(bite_min) && Array.isArray(readings)
    && bite_min.every((m) => typeof m === 'number') && readings.every((r) => r === null || typeof r === 'number')
    && ['lightness', 'density', 'density_over_paper'].includes(kind)
    && Array.isArray(beyond) && beyond.length <= MOST_VALUES && beyond.every((step) => typeof step.bite_min === 'number' && (step.reading === null || typeof step.reading === 'number'))
    && places(out) && typeof allowed === 'object' && places(allowed.bites) && typeof allowed.ground === 'boolean'
    && (camera === null || (typeof camera === 'object' && Array.isArray(camera.factor) && typeof camera.haze === 'number'));
  return sound ? one : null;
}

export const onBench = persisted<Bench>('platewright.step-plate', FRESH, (kept) => benchOf(kept) ?? FRESH);

/** The readings of the other: of a proof while a step plate is read, and the other way round. */
export const aside = persisted<Bench | null>('platewright.step-plate-aside', null, benchOf);
