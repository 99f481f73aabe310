import { askReader } from '../engine/reader.ts';
import { Refused } from '../engine/workerClient.ts';
import { withoutEnding } from './files.ts';
import { note, panel, putAway } from './notifications.ts';
import { plan, plateId } from './plan.ts';
import { added, LONGEST, MOST, PHOTO_PX } from './plateRecord.ts';
import { recordPlate } from './recorded.ts';
import { keepPhotograph, MOST_PHOTO_BYTES, newEntry, recordOf, writeRecord } from './records.ts';
import { refused } from './results.ts';
import { shelf } from './shelf.ts';
import { today } from './today.ts';
import { lastState } from './versions.ts';

/* Photographs of proofs: taken in, made smaller, kept beside the record. */

const QUALITY = 0.82;

/** Whether bytes from a file are a photograph of this size. */
export async function isPhotograph(blob: Blob, width: number, height: number): Promise<boolean> {
  return blob.size <= MOST_PHOTO_BYTES && askReader('is_picture', blob, width, height).catch(() => false);
}

/** The plate whose record lies open. */
export const plateShown = (): string => recordPlate.value ?? plateId.value;

/** Whether files that come in are photographs for the record that lies open. */
export const takesPhotographs = (files: readonly File[]): boolean =>
  panel.value === 'record' && files.length > 0 && files.every(({ type }) => type.startsWith('image/'));

/** Puts photographs into a record, dated as their files are; until somebody says otherwise they show the plate's last state. */
export async function takePhotographs(files: readonly File[], plate: string): Promise<void> {
  const known = plate === plateId.value ? plan.value : shelf.value.find((kept) => kept.plate === plate)?.plan;
  const of = known ? lastState(known) : 1;
  const odd: string[] = [];
  let over = 0;
  let taken = 0;
  for (const file of files) {
    if (recordOf(plate).photographs.length >= MOST.photographs) { over += 1; continue; }
    // Upright, no side longer than `PHOTO_PX`, as a JPEG.
    const small = await askReader('photograph', file, file.name, PHOTO_PX, QUALITY).catch((error: unknown) => {
      odd.push(error instanceof Refused && error.message.includes(file.name) ? error.message
        : `“${file.name}” is not a picture that this browser can read. Choose a JPEG, PNG or WebP file.`);
      return null;
    });
    if (!small) continue;
    const one = { id: newEntry(), at: today(file.lastModified || Date.now()), of, caption: captionFrom(file.name), width: small.width, height: small.height };
    await keepPhotograph(one.id, small.blob, plate);
    await writeRecord(plate, (before) => ({ ...before, photographs: added(before.photographs, one) }));
    taken += 1;
  }
  if (over > 0) odd.push(`A record holds ${MOST.photographs} photographs: take one out first. ${over === 1 ? 'One was' : `${over} were`} not taken in.`);
  const what = taken > 0 ? 'Not every photograph was taken in.' : 'The record is as it was.';
  refused.value = odd.length > 0 ? { what, sentences: odd } : null;
}

/** A file's name without its ending, where it is more than a camera's number. */
function captionFrom(name: string): string {
  const words = withoutEnding(name);
  return /^(img|dsc|dscn|dscf|pxl|mvimg|image|photo|p)?[-_ ]?[\d_\-. ()]*(~\d)?$/i.test(words) ? '' : words.slice(0, LONGEST.caption);
}

/** Tells of an entry that was taken out, with the way back. */
export function tookOut(words: string, putBack: () => void): void {
  note({ key: 'record', words, acts: [{ name: 'put it back', run: () => { putAway('record'); putBack(); } }] });
}
