import type { Plan } from '../engine/protocol.ts';
import { limitsOf, rangeOf, toStep } from './catalogue.ts';
import { persisted } from './persisted.ts';
import { newId } from './pictureStore.ts';
import { today } from './today.ts';

/*
 * The bath book: the shop's baths, the plates bitten in them and the copper they took up. Stored in this
 * browser, and in the shelf's file as { baths: Bath[] }.
 */

export interface BittenPlate { at: string; title: string; copper_g: number }

export interface Bath {
  id: string; name: string;
  strength_be: number; volume_l: number;
  /** Copper in it when the record was started, g. */
  copper_at_first_g: number;
  plates: BittenPlate[];
}

const MOST_BATHS = 40;
const MOST_PLATES = 2000;
/** Most copper that a bath can hold, g: the strongest of the largest. */
export function copperRange(): [least: number, most: number] {
  return [0, limitsOf('bath.copper_g_per_l').max * limitsOf('bath.volume_l').max];
}

const within = (x: unknown, [least, most]: readonly [number, number]): x is number => typeof x === 'number' && x >= least && x <= most;

/** Reads baths from the store or a file; invalid entries are dropped. */
export function read(from: unknown): Bath[] {
  if (!Array.isArray(from)) return [];
  return from.slice(0, MOST_BATHS).flatMap((one: unknown) => {
    const { id, name, strength_be, volume_l, copper_at_first_g, plates } = (typeof one === 'object' && one !== null ? one : {}) as Record<string, unknown>;
    if (typeof id !== 'string' || typeof name !== 'string') return [];
    if (!within(strength_be, rangeOf('bath.strength_be')) || !within(volume_l, rangeOf('bath.volume_l')) || !within(copper_at_first_g, copperRange())) return [];
    const bitten = (Array.isArray(plates) ? plates as unknown[] : []).slice(0, MOST_PLATES).flatMap((plate) => {
      const { at, title, copper_g } = (typeof plate === 'object' && plate !== null ? plate : {}) as Record<string, unknown>;
      return typeof at === 'string' && typeof title === 'string' && within(copper_g, [0, 1000]) ? [{ at: at.slice(0, 40), title: title.slice(0, 120), copper_g }] : [];
    });
    return [{ id: id.slice(0, 60), name: name.slice(0, 80), strength_be, volume_l, copper_at_first_g, plates: bitten }];
  });
}

export const baths = persisted<Bath[]>('platewright.baths', [], read);

/** Adds a record for the bath of this plan. */
export function addBath(of: Plan): void {
  const { strength_be, volume_l, copper_g_per_l } = of.bath;
  baths.value = [...baths.value, {
    id: newId(), name: `Bath ${baths.value.length + 1}`, strength_be, volume_l,
    copper_at_first_g: Number((copper_g_per_l * volume_l).toFixed(2)), plates: [],
  }].slice(0, MOST_BATHS);
}

export function setBath(id: string, next: Partial<Bath>): void {
  baths.value = baths.value.map((bath) => (bath.id === id ? { ...bath, ...next } : bath));
}

/** Takes a bath out of the book. Gives the way to put it back where it stood. */
export function removeBath(id: string): () => void {
  const place = baths.value.findIndex((bath) => bath.id === id);
  const gone = baths.value[place];
  baths.value = baths.value.filter((bath) => bath.id !== id);
  return () => {
    if (gone && !baths.value.some((bath) => bath.id === id)) baths.value = [...baths.value.slice(0, place), gone, ...baths.value.slice(place)];
  };
}

/** Writes a plate into a bath, with the copper it gave. */
export function writePlate(bath: Bath, title: string, copper_g: number): void {
  setBath(bath.id, { plates: [...bath.plates, { at: today(), title: title || 'Untitled plate', copper_g: Number(copper_g.toFixed(3)) }] });
}

/** Whether a plate of this title was written into a bath today. */
export function writtenToday(bath: Bath, title: string): boolean {
  return bath.plates.some((plate) => plate.at === today() && plate.title === (title || 'Untitled plate'));
}

/** Adds baths from a file; those with a known id are left unchanged. Returns how many were added. */
export function layBaths(from: unknown): number {
  const known = new Set(baths.value.map(({ id }) => id));
  const fresh = read(from).filter(({ id }) => !known.has(id));
  if (fresh.length > 0) baths.value = [...baths.value, ...fresh].slice(0, MOST_BATHS);
  return fresh.length;
}

/** Copper in a bath, g. */
export function copperIn(bath: Bath): number {
  return bath.plates.reduce((sum, plate) => sum + plate.copper_g, bath.copper_at_first_g);
}

/** Copper in a bath as a plan states it. */
export function copperPerLitre(bath: Bath): number {
  return toStep(limitsOf('bath.copper_g_per_l'), copperIn(bath) / bath.volume_l);
}

/** The plan with this bath's strength, volume and copper. */
export function inBath(of: Plan, bath: Bath): Plan {
  return { ...of, bath: { ...of.bath, strength_be: bath.strength_be, volume_l: bath.volume_l, copper_g_per_l: copperPerLitre(bath) } };
}
