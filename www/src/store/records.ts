import { signal } from '@preact/signals';
import { keepNow } from './autosave.ts';
import { panel, tell } from './notifications.ts';
import { plan, plateId } from './plan.ts';
import { asRecord, emptyRecord, isEmpty, joined, LONGEST, type PlateRecord } from './plateRecord.ts';
import { newId, recordVault } from './pictureStore.ts';
import { readRecorded, recorded, recordPlate } from './recorded.ts';
import { shelf, soundHand } from './shelf.ts';
import { notKept } from './storeFull.ts';

/* The records of plates, in the browser's larger store. Two tabs may write in one record: each entry is put into what stands there. */

/** Every record that can be read, by its plate. */
export const records = signal<ReadonlyMap<string, PlateRecord>>(new Map());
/** Plates whose record another version of the page has written: it is left as it is. */
export const unread = signal<ReadonlySet<string>>(new Set());

/** What the store refused; it lasts as long as the page. */
const ahead = new Map<string, PlateRecord>();
/** Photographs that it refused. */
const atHand = new Map<string, Blob>();

const channel = typeof BroadcastChannel === 'function' ? new BroadcastChannel('platewright.records') : null;
channel?.addEventListener('message', () => void readRecords());

/** Largest photograph that is shown, bytes; those made here have a tenth of it. */
export const MOST_PHOTO_BYTES = 4e6;

function show(id: string, next: PlateRecord | null): void {
  const all = new Map(records.value);
  if (next) all.set(id, next);
  else all.delete(id);
  records.value = all;
  if (Boolean(next) !== recorded.value.has(id)) {
    recorded.value = new Set(next ? [...recorded.value, id] : [...recorded.value].filter((one) => one !== id));
  }
}

let changes = 0;
/** Changes that the store has not answered yet. */
let pending = 0;
/** One change after another, so that none overtakes the one before it. */
let writing: Promise<void> = Promise.resolve();

/** Reads what the store has; what is written meanwhile is read with it. */
export async function readRecords(): Promise<void> {
  try {
    for (let mark = -1; mark !== changes;) {
      await writing;
      mark = changes;
      const all = new Map<string, PlateRecord>();
      const odd = new Set<string>();
      for (const found of await recordVault.all('records')) {
        const record = asRecord(found);
        if (record) all.set(record.id, record);
        else odd.add(String((found as { id: unknown }).id));
      }
      if (mark !== changes) continue;
      for (const [id, record] of ahead) all.set(id, record);
      records.value = all;
      unread.value = odd;
    }
    await readRecorded();
    if (ahead.size > 0) recorded.value = new Set([...recorded.value, ...ahead.keys()]);
  } catch {
    // Said when something is to be kept.
  }
}

/** The record of a plate as it stands; an empty one where nothing has been written yet. */
export const recordOf = (id: string): PlateRecord => records.value.get(id) ?? emptyRecord(id);

/** A record written by another version of the page: nothing may be put in its place. */
class Unreadable extends Error {}

function complain(id: string, error: unknown): void {
  if (error instanceof Unreadable) {
    unread.value = new Set([...unread.value, id]);
    tell('The record of this plate was written by another version of the page, and is left as it is. What you write now lasts until this page is closed.');
  } else notKept('the record of the plate', {
    name: 'show the record',
    run: () => { recordPlate.value = id === plateId.value ? null : id; panel.value = 'record'; },
  });
}

/** Title and plan that a record goes on with: those of the plate in hand, or on the shelf. */
function about(id: string): Partial<Pick<PlateRecord, 'title' | 'plan'>> {
  if (id === plateId.value) return { title: plan.value.title.slice(0, LONGEST.title), plan: soundHand() };
  const kept = shelf.value.find(({ plate }) => plate === id);
  return kept ? { title: kept.name.slice(0, LONGEST.title), plan: kept.plan } : {};
}

/** Writes into a record. `entry` makes the next of the one that stands, here and in the store: it gives the same entry every time. */
export function writeRecord(id: string, entry: (before: PlateRecord) => PlateRecord): Promise<void> {
  const from = about(id);
  const next = (before: PlateRecord): PlateRecord | null => {
    const after = { ...entry(before), ...from };
    if (isEmpty(after)) return null;
    if (asRecord(after)) return after;
    tell('This record holds no more of these: it is as it was.');
    return isEmpty(before) ? null : before;
  };
  show(id, next(recordOf(id)));
  changes += 1;
  pending += 1;
  // Its plate must be known again after a reload, also where the plan is as the page opened with it.
  if (id === plateId.value) keepNow();
  writing = writing.then(async () => {
    let put: PlateRecord | null = null;
    try {
      await recordVault.change('records', id, (found) => {
        const before = found === undefined ? emptyRecord(id) : asRecord(found);
        if (!before) throw new Unreadable();
        const mine = ahead.get(id);
        put = next(mine ? joined(mine, before) : before);
        return put;
      });
      ahead.delete(id);
      // What was written here meanwhile stays seen.
      if (pending === 1) show(id, put);
      channel?.postMessage('changed');
    } catch (error) {
      const mine = records.value.get(id);
      if (mine) ahead.set(id, mine);
      complain(id, error);
    }
    changes += 1;
    pending -= 1;
  });
  return writing;
}

/** Everything that was written so far has gone to the store, or was refused by it. */
export const recordsWritten = (): Promise<void> => writing;

/** A record whole, as it came from a file. */
export function layRecord(record: PlateRecord): Promise<void> {
  return writeRecord(record.id, () => record);
}

/* Photographs. */

export async function keepPhotograph(id: string, blob: Blob, plate: string): Promise<void> {
  atHand.set(id, blob);
  try {
    await recordVault.put('photographs', { id, blob } as { id: string });
    atHand.delete(id);
  } catch (error) {
    complain(plate, error);
  }
}

/** A photograph's pixels, or null where they are not here. */
export async function photographOf(id: string): Promise<Blob | null> {
  const known = atHand.get(id);
  if (known) return known;
  try {
    const { blob } = (await recordVault.one('photographs', id) ?? {}) as { blob?: unknown };
    // A stranger's bytes are shown as a picture or not at all.
    return blob instanceof Blob && blob.size <= MOST_PHOTO_BYTES ? new Blob([blob], { type: 'image/jpeg' }) : null;
  } catch {
    return null;
  }
}

/** Takes a photograph's pixels away; gives them, to be put back. */
export async function dropPhotograph(id: string): Promise<Blob | null> {
  const blob = await photographOf(id);
  atHand.delete(id);
  await recordVault.drop('photographs', id).catch(() => undefined);
  return blob;
}

/** A name for an entry. */
export const newEntry = newId;
