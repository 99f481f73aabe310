import { signal } from '@preact/signals';
import { recordVault } from './pictureStore.ts';

/* Which plates have a record. What stands in it is read when somebody looks: `records.ts`. */

/** Plates that have a record, by what they go by. */
export const recorded = signal<ReadonlySet<string>>(new Set());

/** The plate whose record is looked at; null for that of the plan in hand. */
export const recordPlate = signal<string | null>(null);

/** The photograph in a record that is read as a proof; null for one that is chosen there. */
export const readPhotograph = signal<string | null>(null);

/** A photograph that was dropped where a proof is read. */
export const droppedProof = signal<File | null>(null);

/** Whether something from the store, a file or an address may be what a plate goes by. */
export function isPlateId(what: unknown): what is string {
  return typeof what === 'string' && /^[0-9a-z]{1,60}$/.test(what);
}

export async function readRecorded(): Promise<void> {
  try {
    recorded.value = new Set((await recordVault.keys('records')).filter(isPlateId));
  } catch {
    // Said when something is to be kept.
  }
}
