import { fileName, offer } from './files.ts';
import { keptOf, picture } from './picture.ts';
import { plan, plateId } from './plan.ts';
import type { PlateRecord } from './plateRecord.ts';
import { readRecords, records } from './records.ts';
import { checked, shelf, soundHand } from './shelf.ts';
import { shelfFile, type Filed } from './shelfFile.ts';

/** A plate as one file: plan, picture, record and photographs. `of` is its plan on the shelf, where it stands there. */
export async function saveRecord(plate: string, of: Filed | null = null): Promise<void> {
  await readRecords();
  const record = records.value.get(plate);
  const title = of?.name ?? (plate === plateId.value ? plan.value.title : record?.title ?? '');
  const filed = of ?? await planOf(plate, record, title);
  offer(await shelfFile(filed ? [filed] : [], [plate]), fileName('-record.json', title));
}

/** The plan of a plate: the one in hand, on the shelf, or as the record has it. */
async function planOf(plate: string, record: PlateRecord | undefined, name: string): Promise<Filed | null> {
  if (plate === plateId.value) return { name, plan: soundHand(), picture: keptOf(picture.value)?.id ?? null, plate };
  const kept = shelf.value.find((one) => one.plate === plate);
  if (kept) return kept;
  const known = record ? await checked(record.plan) : null;
  return known && { name, plan: known, picture: null, plate };
}
