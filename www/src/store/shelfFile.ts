import { base64 } from './base64.ts';
import { baths, layBaths } from './bathBook.ts';
import { checked, full, keepOnShelf, pictureOf, shelf, type Kept } from './shelf.ts';
import { asPicture, LINES, newId, type KeptPicture } from './pictureStore.ts';
import { filedRecords, recordsFrom, type Filing } from './recordFile.ts';
import { isPlateId } from './recorded.ts';

/*
 * Plans with their pictures as one file: JSON, a picture's lightness deflated (RFC 1951) and in base64, and with it the
 * picture's own file in base64, where that is finer.
 * { platewright_shelf: 1, plans: [{ name, plan, picture, plate }], pictures: [{ id, name, width, height, lightness, file?, file_px? }], baths: [], calibrations: [], records: [] }
 */

const VERSION = 1;
/** Longest file looked at, bytes. */
const MOST_BYTES = 200e6;
/** Largest picture file that goes along, bytes; of a larger one only the whole as the page has read it. */
const MOST_FILE_BYTES = 50e6;

/** Most plans of one file that are looked at: one that was made to bury the shelf ends there. */
const MOST_PLANS = 10_000;

interface FiledPicture { id: string; name: string; width: number; height: number; lightness: string; file?: string; file_px?: [number, number] }

async function filed({ file, file_px, ...of }: KeptPicture): Promise<FiledPicture> {
  const along = file && file_px && file.size <= MOST_FILE_BYTES ? { file: base64(new Uint8Array(await file.arrayBuffer())), file_px } : {};
  return { ...of, lightness: await deflated(of.lightness), ...along };
}

async function deflated(bytes: Uint8Array<ArrayBuffer>): Promise<string> {
  const packed = new Blob([bytes]).stream().pipeThrough(new CompressionStream('deflate-raw'));
  return base64(new Uint8Array(await new Response(packed).arrayBuffer()));
}

/** What goes into a file: plans with their pictures, and whose records. */
export type Filed = Pick<Kept, 'name' | 'plan' | 'picture' | 'plate'>;

/** Some plans and their pictures as one file, with the records of these plates, or with every record there is. */
export async function shelfFile(of: readonly Filed[], plates: readonly string[] | 'every' = []): Promise<Blob> {
  const pictures = new Map<string, FiledPicture>();
  for (const kept of of) {
    if (kept.picture === null || pictures.has(kept.picture)) continue;
    const found = await pictureOf(kept);
    if (found) pictures.set(kept.picture, await filed(found));
  }
  for (const { plan: { lines } } of of) {
    const found = lines && await (await import('./linePictures.ts')).linesNamed(lines.picture);
    if (found) pictures.set(found.id, await filed(found));
  }
  const plans = of.map(({ name, plan, picture, plate }) => ({ name, plan, picture, plate }));
  const records = await filedRecords(plates);
  const { calibrations } = await import('./calibrations.ts');
  const text = JSON.stringify({ platewright_shelf: VERSION, plans, pictures: [...pictures.values()], baths: baths.value, calibrations: calibrations.value, ...(records.length > 0 && { records }) }, null, 1);
  return new Blob([text, '\n'], { type: 'application/json' });
}

/** Lays a file's plans on the shelf, beside what stands there. Gives what to say about it. */
export async function layFromFile(json: Record<string, unknown>, size: number): Promise<string> {
  const { platewright_shelf: version, plans, pictures, baths: ofBook, calibrations: found_before, records } = json;
  if (typeof version === 'number' && version > VERSION) return 'This shelf was saved by a newer Platewright: open it in the newer page.';
  if (!Array.isArray(plans) || size > MOST_BYTES) return 'This file holds no plans that can be read: ask for it again.';
  const found = new Map<string, KeptPicture>();
  for (const filed of Array.isArray(pictures) ? pictures : []) {
    const shown = asPicture(filed);
    // A new name: the store must never take a stranger's picture for one of its own.
    if (shown) found.set(shown.id, { ...shown, id: newId() });
  }
  const written = layBaths(ofBook);
  const calibrated = (await import('./calibrations.ts')).layCalibrations(found_before);
  const of_file = await recordsFrom(records);
  let laid = 0;
  let without = 0;
  let known = 0;
  let seen = 0;
  for (const filed of (plans as unknown[]).slice(0, MOST_PLANS)) {
    seen += 1;
    const { name, plan: of, picture: shown, plate } = (typeof filed === 'object' && filed !== null ? filed : {}) as Record<string, unknown>;
    let good = await checked(of ?? null);
    if (!good) continue;
    const lines = good.lines && found.get(LINES + good.lines.picture);
    if (good.lines && lines) {
      const kept = await (await import('./linePictures.ts')).keepLines(good.lines.picture, lines);
      good = { ...good, lines: { ...good.lines, picture: kept.name } };
    }
    const own = typeof shown === 'string' ? found.get(shown) ?? null : null;
    const goes_by = isPlateId(plate) ? of_file.plates.get(plate) ?? plate : newId();
    // A plate that is here with this very plan and record needs no second place.
    if (isPlateId(plate) && of_file.same.has(plate) && shelf.value.some((kept) => kept.plate === plate && JSON.stringify(kept.plan) === JSON.stringify(good))) {
      known += 1;
      continue;
    }
    if (typeof good.picture.source !== 'string' && !own) without += 1;
    await keepOnShelf(good, own, typeof name === 'string' ? name : good.title, goes_by);
    laid += 1;
    // What finds no room lasts as long as the page, and has been told of: no more is heaped on that.
    if (full) break;
  }
  const left = seen - laid - known;
  const stayed = plans.length - seen;
  return [
    known === 0 && (plans.length > 0 || written + calibrated + of_file.laid + of_file.beside.length + of_file.bad === 0) ? `${laid} ${laid === 1 ? 'plan was' : 'plans were'} laid on the shelf.` : '',
    written > 0 ? `${written} ${written === 1 ? 'bath was' : 'baths were'} written into the bath book.` : '',
    calibrated > 0 ? `${calibrated} ${calibrated === 1 ? 'calibration was' : 'calibrations were'} kept.` : '',
    known > 0 ? `${known === 1 ? 'A plan' : `${known} plans`} with this very record ${known === 1 ? 'stands' : 'stand'} here already.` : '',
    ...recordWords(of_file),
    left > 0 ? `${left} could not be used.` : '',
    stayed > 0 ? full ? `The shelf is full: ${stayed} stayed in the file.` : `No more than ${MOST_PLANS} come in at once: ${stayed} stayed in the file.` : '',
    without > 0 ? `${without} came without ${without === 1 ? 'its picture' : 'their pictures'}.` : '',
  ].filter(Boolean).join(' ');
}

/** What became of the records in a file, a sentence each. */
function recordWords({ laid, beside, bad, dark }: Filing): string[] {
  return [
    laid > 0 ? `${laid} ${laid === 1 ? 'record' : 'records'} came in.` : '',
    beside.length > 0 ? `Of ${beside.map((title) => `“${title}”`).join(' and ')} another record is here already: nothing of yours was changed, and the one from the file lies beside it.` : '',
    bad > 0 ? `${bad} ${bad === 1 ? 'record' : 'records'} could not be read: the file is damaged, or of a newer Platewright. What is here is as it was.` : '',
    dark > 0 ? `${dark} ${dark === 1 ? 'photograph' : 'photographs'} could not be read.` : '',
  ];
}
