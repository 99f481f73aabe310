import { computed, signal } from '@preact/signals';
import type { Explained, Learned } from '../../engine/protocol.ts';
import { askStudies } from '../../engine/studies.ts';
import { wordsOf } from '../../engine/workerClient.ts';
import { calibrations, keepCalibration, type KeptCalibration } from '../../store/calibrations.ts';
import { tell } from '../../store/notifications.ts';
import type { ProofTold } from '../../store/plateRecord.ts';
import { records, writeRecord } from '../../store/records.ts';
import { today } from '../../store/today.ts';
import { use } from '../calibrate/use.ts';
import type { Pulled } from './asking.ts';

/* What proofs teach the shop. Each is an entry of its plate's record; all of them together tell the shop's constants. */

/** Every proof that teaches the shop, once, by its day, with the plate whose record it stands in. */
export const teaching = computed(() => {
  const all = new Map<string, ProofTold & { plate: string }>();
  for (const { id: plate, told } of records.value.values()) for (const one of told) all.set(one.id, { ...one, plate });
  return [...all.values()].sort((a, b) => a.at.localeCompare(b.at) || a.id.localeCompare(b.id));
});

export const learned = signal<Learned | null>(null);
export const unlearned = signal('');

/** What all of them tell. */
export async function learn(from: readonly ProofTold[]): Promise<void> {
  try {
    const told = await askStudies('learn_from_proofs', from.map(({ evidence }) => evidence));
    if (from === teaching.value) [learned.value, unlearned.value] = [told, ''];
  } catch (error) {
    if (from === teaching.value) [learned.value, unlearned.value] = [null, wordsOf(error)];
  }
}

/** Lets a proof teach the shop: once, however often; read anew, it takes the place of what it told before. */
export function teach({ photo, subject }: Pulled, { said, evidence }: Explained): void {
  const entry: ProofTold = { id: photo.id, at: photo.at, title: subject.title.slice(0, 120), said, evidence: { ...evidence, id: `${photo.at} ${photo.id}` } };
  void writeRecord(subject.plate, (all) => ({ ...all, told: [...all.told.filter(({ id }) => id !== entry.id), entry] }));
}

/** Takes it out again. */
export function unteach(plate: string, id: string): void {
  void writeRecord(plate, (all) => ({ ...all, told: all.told.filter((one) => one.id !== id) }));
}

/** Uses the constants in the plan in hand; they are kept by name, once. */
export function takeLearned({ calibration, limits }: Learned, count: number): void {
  const same = ({ values }: KeptCalibration): boolean => Object.entries(calibration).every(([key, value]) => values[key] === value);
  const proofs = `${count} ${count === 1 ? 'proof' : 'proofs'}`;
  const known = calibrations.value.find(same)
    ?? keepCalibration({ name: `Shop, from ${proofs}, ${today()}`, about: `real proofs, photographed: ${proofs}`, values: calibration, limits });
  use(known);
  tell(`The plan is calculated with “${known.name}”; it stands with the calibrations kept.`);
}
