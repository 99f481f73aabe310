import type { CalibratedLimits, Plan } from '../engine/protocol.ts';
import { persisted } from './persisted.ts';
import { newId } from './pictureStore.ts';
import { today } from './today.ts';

export type Calibration = Record<string, number>;

/* Named calibrations, each from a step plate or from pictures of a ground. Stored in this browser, and in the shelf's file as { calibrations: KeptCalibration[] }. */

export interface KeptCalibration {
  id: string; name: string; at: string;
  /** Bath and ink of the step plate, or the ground in the pictures, in words. */
  about: string;
  values: Calibration; limits: CalibratedLimits;
  /** How well a step plate tells its values, L*; pictures of a ground tell none. */
  good_to_l?: number | undefined;
}

const MOST = 60;

const finite = (x: unknown): x is number => typeof x === 'number' && Number.isFinite(x);
const text = (x: unknown, most: number): string => (typeof x === 'string' ? x.slice(0, most) : '');

/** Reads calibrations from the store or a file; invalid entries are dropped. Rust checks names and ranges. */
export function read(from: unknown): KeptCalibration[] {
  return (Array.isArray(from) ? from as unknown[] : []).slice(0, MOST).flatMap((one) => {
    const { id, name, at, about, values, limits, good_to_l } = (one ?? {}) as Record<string, unknown>;
    const { keys, ln_factor } = (limits ?? {}) as Record<string, unknown>;
    const entries = Object.entries((values ?? {}) as object);
    const sound = text(id, 60) && entries.length > 0 && entries.length <= 40 && entries.every(([, value]) => finite(value)) && (good_to_l === undefined || finite(good_to_l))
      && Array.isArray(keys) && keys.every((key) => typeof key === 'string')
      && Array.isArray(ln_factor) && ln_factor.length === keys.length ** 2 && ln_factor.every(finite);
    return sound ? [{
      id: text(id, 60), name: text(name, 80), at: text(at, 10), about: text(about, 200), good_to_l,
      values: Object.fromEntries(entries) as Calibration, limits: { keys: keys as string[], ln_factor: ln_factor as number[] },
    }] : [];
  });
}

export const calibrations = persisted<KeptCalibration[]>('platewright.calibrations', [], read);

export function keep(next: KeptCalibration[]): void {
  calibrations.value = next.slice(0, MOST);
}

/** Adds calibrations from a file; those with a known id are left unchanged. Returns how many were added. */
export function layCalibrations(from: unknown): number {
  const known = new Set(calibrations.value.map(({ id }) => id));
  const fresh = read(from).filter(({ id }) => !known.has(id));
  if (fresh.length) keep([...calibrations.value, ...fresh]);
  return fresh.length;
}

export function keepCalibration(one: Omit<KeptCalibration, 'id' | 'at'>): KeptCalibration {
  const kept = { ...one, id: newId(), at: today() };
  keep([kept, ...calibrations.value]);
  return kept;
}

/** The stored calibration that a plan uses, if any. */
export function inForce(of: Plan): KeptCalibration | undefined {
  const has = of.calibration ?? {};
  return calibrations.value.find(({ values }) => Object.keys(values).every((key) => has[key] === values[key]));
}
