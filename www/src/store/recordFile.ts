import { base64, fromBase64 } from './base64.ts';
import { note } from './notifications.ts';
import { isPhotograph } from './photographs.ts';
import { asRecord, LONGEST, sameRecord, type Photograph, type PlateRecord } from './plateRecord.ts';
import { newId } from './pictureStore.ts';
import { keepPhotograph, layRecord, photographOf, readRecords, records, recordsWritten, unread } from './records.ts';

/*
 * Records in the shelf's file: { records: [{ id, title, …, photographs: [{ id, at, …, jpeg? }] }] }, a photograph's
 * bytes in base64. The file of one plate is a shelf of one plan.
 */

/** Most photographs in one file, bytes. */
const MOST_BYTES = 100e6;

type FiledPhotograph = Photograph & { jpeg?: string };

/** The records of some plates, or every one, for a file. */
export async function filedRecords(plates: readonly string[] | 'every'): Promise<(Omit<PlateRecord, 'photographs'> & { photographs: FiledPhotograph[] })[]> {
  if (plates.length === 0) return [];
  await recordsWritten();
  await readRecords();
  let bytes = 0;
  let left = 0;
  const filed = [];
  for (const plate of plates === 'every' ? records.value.keys() : plates) {
    const record = records.value.get(plate);
    if (!record) continue;
    const photographs: FiledPhotograph[] = [];
    for (const one of record.photographs) {
      const blob = await photographOf(one.id);
      bytes += blob?.size ?? 0;
      if (!blob || bytes > MOST_BYTES) left += 1;
      photographs.push(blob && bytes <= MOST_BYTES ? { ...one, jpeg: base64(new Uint8Array(await blob.arrayBuffer())) } : one);
    }
    filed.push({ ...record, photographs });
  }
  if (left > 0) {
    note({
      key: 'photographs', acts: [],
      words: `${left} ${left === 1 ? 'photograph' : 'photographs'} did not go into the file: ${bytes > MOST_BYTES ? 'together they are too many for one. Save the records one by one.' : 'they are not here.'}`,
    });
  }
  return filed;
}

/** What became of a file's records. */
export interface Filing {
  /** What the plates of the file go by here. */
  plates: ReadonlyMap<string, string>;
  /** Plates whose record is here as the file has it. */
  same: ReadonlySet<string>;
  laid: number;
  /** Titles of those of which another record is here already. */
  beside: string[];
  /** Records and photographs that could not be read. */
  bad: number; dark: number;
}

/** Lays a file's records beside what is here: none ever takes the place of another. */
export async function recordsFrom(found: unknown): Promise<Filing> {
  const plates = new Map<string, string>();
  const same = new Set<string>();
  const filing: Filing = { plates, same, laid: 0, beside: [], bad: 0, dark: 0 };
  if (found === undefined) return filing;
  await recordsWritten();
  await readRecords();
  for (const one of Array.isArray(found) ? found as unknown[] : [null]) {
    const record = asRecord(one);
    if (!record) { filing.bad += 1; continue; }
    const here = records.value.get(record.id);
    if (here && sameRecord(here, record)) { same.add(record.id); continue; }
    // One that this page can't read is a record all the same.
    const taken = here !== undefined || unread.value.has(record.id);
    const id = taken || plates.has(record.id) ? newId() : record.id;
    plates.set(record.id, id);
    if (taken) filing.beside.push(record.title || 'Untitled plate');
    else filing.laid += 1;
    const photographs: Photograph[] = [];
    for (const photograph of record.photographs) {
      const bytes = (one as { photographs: FiledPhotograph[] }).photographs[photographs.length]?.jpeg;
      const blob = typeof bytes === 'string' ? await photographFrom(bytes, photograph) : null;
      if (!blob) filing.dark += 1;
      // A new name where one is taken: taking it out of one record must not take it out of another.
      const name = await photographOf(photograph.id) ? newId() : photograph.id;
      if (blob) await keepPhotograph(name, blob, id);
      photographs.push({ ...photograph, id: name });
    }
    await layRecord({ ...record, id, photographs, title: taken ? `${record.title} (from a file)`.slice(-LONGEST.title) : record.title });
  }
  return filing;
}

/** A photograph's bytes, if they are one. */
async function photographFrom(bytes: string, { width, height }: Photograph): Promise<Blob | null> {
  try {
    const blob = new Blob([fromBase64(bytes)], { type: 'image/jpeg' });
    return await isPhotograph(blob, width, height) ? blob : null;
  } catch {
    return null;
  }
}
