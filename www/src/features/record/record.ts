import { computed } from '@preact/signals';
import type { Plan } from '../../engine/protocol.ts';
import { others } from '../../store/autosave.ts';
import { putAway } from '../../store/notifications.ts';
import { tookOut } from '../../store/photographs.ts';
import { plan, plateId } from '../../store/plan.ts';
import { added, emptyRecord, type Impression, type Job, type Photograph, type PlateRecord, type ProofTold, type RecordNote } from '../../store/plateRecord.ts';
import { recordPlate } from '../../store/recorded.ts';
import { dropPhotograph, keepPhotograph, photographOf, records, writeRecord } from '../../store/records.ts';
import { shelf } from '../../store/shelf.ts';

/* The record that lies open, and what can be done in it. */

/** The plate whose record it is. */
export const plateHere = computed(() => recordPlate.value ?? plateId.value);
export const record = computed<PlateRecord>(() => records.value.get(plateHere.value) ?? emptyRecord(plateHere.value));

/** The plate's plan as it stands now, and what it is called; null where it is neither in hand nor on the shelf. */
export const planHere = computed<{ title: string; plan: Plan } | null>(() => {
  if (plateHere.value === plateId.value) return { title: plan.value.title, plan: plan.value };
  const kept = shelf.value.find(({ plate }) => plate === plateHere.value);
  return kept ? { title: kept.name, plan: kept.plan } : null;
});

/** Records of plates that are in no hand and on no shelf here. */
export const alone = computed(() => {
  const known = new Set([plateId.value, ...shelf.value.map(({ plate }) => plate), ...others.value.map(({ plate }) => plate)]);
  return [...records.value.values()].filter(({ id }) => !known.has(id));
});

interface Parts { jobs: Job; photographs: Photograph; notes: RecordNote; impressions: Impression; told: ProofTold }

const partOf = <P extends keyof Parts>(of: PlateRecord, part: P): Parts[P][] => of[part] as unknown as Parts[P][];

/** Puts an entry into a record. */
export function put<P extends keyof Parts>(plate: string, part: P, ...entries: Parts[P][]): void {
  void writeRecord(plate, (before) => ({ ...before, [part]: entries.reduce<Parts[P][]>(added, partOf(before, part)) }));
}

/** Changes an entry. */
export function edit<P extends keyof Parts>(plate: string, part: P, id: string, change: Partial<Parts[P]>): void {
  void writeRecord(plate, (before) => ({ ...before, [part]: partOf(before, part).map((one) => (one.id === id ? { ...one, ...change } : one)) }));
}

/** Takes an entry out, and offers to put it back. */
export function takeOut<P extends keyof Parts>(plate: string, part: P, entry: Parts[P], words: string): void {
  // The entry's own buttons go with it: the keyboard stays with its list.
  document.activeElement?.closest('.record-part')?.querySelector('h3')?.focus({ preventScroll: true });
  void writeRecord(plate, (before) => ({ ...before, [part]: partOf(before, part).filter(({ id }) => id !== entry.id) }));
  tookOut(`${words} was taken out.`, () => put(plate, part, entry));
}

/** The same with a photograph's pixels. */
export async function takeOutPhotograph(plate: string, one: Photograph): Promise<void> {
  const blob = await dropPhotograph(one.id);
  letGo(one.id);
  takeOut(plate, 'photographs', one, 'A photograph');
  tookOut('A photograph was taken out.', () => void (async () => {
    if (blob) await keepPhotograph(one.id, blob, plate);
    put(plate, 'photographs', one);
  })());
}

/** Forgets a whole record, and offers to put it back. */
export async function forgetRecord(of: PlateRecord): Promise<void> {
  const blobs = await Promise.all(of.photographs.map(async ({ id }) => [id, await dropPhotograph(id)] as const));
  await writeRecord(of.id, () => emptyRecord(of.id));
  tookOut(`The record of “${of.title || 'Untitled plate'}” was forgotten.`, () => void (async () => {
    for (const [id, blob] of blobs) if (blob) await keepPhotograph(id, blob, of.id);
    await writeRecord(of.id, () => of);
  })());
}

/* Photographs as they are shown. */

const urls = new Map<string, Promise<string | null>>();

/** An address for a photograph's pixels, as long as the record lies open; null where they are not here. */
export function urlOf(id: string): Promise<string | null> {
  const known = urls.get(id) ?? photographOf(id).then((blob) => blob && URL.createObjectURL(blob));
  urls.set(id, known);
  return known;
}

function letGo(id: string): void {
  void urls.get(id)?.then((url) => { if (url) URL.revokeObjectURL(url); });
  urls.delete(id);
}

/** The record is closed: its photographs are let go, and so is the way back to what was taken out. */
export function close(): void {
  for (const id of [...urls.keys()]) letGo(id);
  putAway('record');
}
