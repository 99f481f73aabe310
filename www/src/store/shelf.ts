import { signal } from '@preact/signals';
import { PlanWorker } from '../engine/planWorker.ts';
import type { Plan, Diagnostic } from '../engine/protocol.ts';
import { tidyPictures } from './autosave.ts';
import { keepPicture, keptPicture } from './keptPictures.ts';
import { pool } from '../engine/scheduler.ts';
import { note } from './notifications.ts';
import { keptOf, picture } from './picture.ts';
import { catalogue, plan, plateId } from './plan.ts';
import { isPlateId, readRecorded, recorded } from './recorded.ts';
import { constantIn, soundPlan, stale } from './results.ts';
import { newId, StoreSilent, vault, type KeptPicture } from './pictureStore.ts';

/** A plan on the shelf; its picture is kept beside it, null for the harbour. */
export interface Kept {
  id: string; name: string; at: number; plan: Plan; picture: string | null;
  /** What its plate goes by, as `plateId` for the plan in hand: two plans may be of one plate. */
  plate: string;
  /** Its proof in its last state, a few thousand pixels of it; null until it has been printed. */
  small: { width: number; grey: Uint8Array<ArrayBuffer>; without_lines: boolean } | null;
}

/** Longer side of a small proof, pixels. */
const SMALL_PX = 168;
/** Longest name of a plan on the shelf. */
const LONGEST_NAME = 120;

/** Everything on the shelf, newest first. */
export const shelf = signal<Kept[]>([]);

const channel = typeof BroadcastChannel === 'function' ? new BroadcastChannel('platewright.shelf') : null;
let complained = false;

function complain(error: unknown): void {
  if (complained) return;
  complained = true;
  note({
    key: 'shelf',
    words: isFull(error)
      ? 'The shelf is full: this browser gives the page no more room. What was put there last lasts until the page is closed; take the shelf out as a file before, then delete what you need no longer.'
      : `This browser does not keep the shelf: its store for this page ${error instanceof StoreSilent ? 'does not answer' : 'is forbidden'}. What is on it lasts until the page is closed; save it as a file before.`,
    acts: [],
  });
}

/** Whether the store has no more room (Indexed Database API 3.0 names the error so). */
const isFull = (error: unknown): boolean => error instanceof DOMException && error.name === 'QuotaExceededError';

/** Plans that have passed the check, by their text. */
const sound = new Map<string, Plan>();

/** Looks at the text of a plan: the plan, where it can be read, and what is wrong with it. */
export async function lookedAt(json: string): Promise<{ plan: Plan | null; wrong: Diagnostic[] }> {
  const known = sound.get(json);
  if (known) return { plan: known, wrong: [] };
  const { plan: found, problems } = await pool.plain('check', json);
  const wrong = problems.filter(({ severity }) => severity === 'error');
  if (found && wrong.length === 0) sound.set(json, found);
  return { plan: found ?? null, wrong };
}

/** A plan from the store or a file, or null if it can't be used. */
export async function checked(of: unknown): Promise<Plan | null> {
  const { plan: good, wrong } = await lookedAt(typeof of === 'string' ? of : JSON.stringify(of));
  return wrong.length === 0 ? good : null;
}

async function asKept(found: unknown): Promise<Kept | null> {
  if (typeof found !== 'object' || found === null) return null;
  const { id, name, at, plan: of, picture: shown, plate, small } = found as Record<string, unknown>;
  if (typeof id !== 'string' || typeof name !== 'string' || typeof at !== 'number') return null;
  const { plan: good, wrong } = await lookedAt(JSON.stringify(of));
  // A calibration can be left out with one press once the plan is in hand; it costs no plan its place.
  if (!good || wrong.some(({ field }) => constantIn(field) === null)) return null;
  const { width, grey, without_lines } = (typeof small === 'object' && small !== null ? small : {}) as Record<string, unknown>;
  const drawn = Number.isInteger(width) && Number(width) > 0 && Number(width) <= SMALL_PX && grey instanceof Uint8Array
    && grey.length > 0 && grey.length <= SMALL_PX ** 2 && grey.length % Number(width) === 0;
  return {
    id, name: name.slice(0, LONGEST_NAME), at, plan: good, picture: typeof shown === 'string' ? shown : null, plate: isPlateId(plate) ? plate : id,
    small: drawn ? { width: Number(width), grey: new Uint8Array(grey as Uint8Array), without_lines: without_lines === true } : null,
  };
}

/** What was put or taken away here and the store does not hold yet, or refused; null is taken away. */
const ahead = new Map<string, Kept | null>();
let changes = 0;

/** Reads the shelf from the store; what was done here meanwhile stays. */
export async function readShelf(): Promise<void> {
  try {
    for (let mark = -1; mark !== changes;) {
      mark = changes;
      const found = await Promise.all((await vault.all('shelf')).map(asKept));
      if (mark !== changes) continue;
      const all = new Map(found.filter((kept) => kept !== null).map((kept) => [kept.id, kept]));
      for (const [id, kept] of ahead) if (kept) all.set(id, kept); else all.delete(id);
      shelf.value = [...all.values()].sort((a, b) => b.at - a.at);
    }
  } catch {
    // Said when something is to be kept.
  }
}

/** Reads the shelf and listens for what other tabs do to it. */
export async function openShelf(): Promise<void> {
  channel?.addEventListener('message', () => void readShelf());
  await readShelf();
  await readRecorded();
  await tidyPictures().catch(() => undefined);
  if (shelf.value.some((kept) => !kept.small || kept.small.without_lines)) void printSmall();
}

/** The store has refused the last plan for want of room. */
export let full = false;

async function put(kept: Kept): Promise<void> {
  shelf.value = [kept, ...shelf.value.filter((one) => one.id !== kept.id)].sort((a, b) => b.at - a.at);
  changes += 1;
  ahead.set(kept.id, kept);
  try {
    await vault.put('shelf', kept);
    if (ahead.get(kept.id) === kept) ahead.delete(kept.id);
    changes += 1;
    channel?.postMessage('changed');
    full = false;
  } catch (error) {
    full = isFull(error);
    complain(error);
  }
}

/** Pictures of this sitting that the store refused; they last as long as the page. */
const atHand = new Map<string, KeptPicture>();

export async function pictureOf(kept: { picture: string | null }): Promise<KeptPicture | null> {
  if (kept.picture === null) return null;
  const shown = keptOf(picture.value);
  if (shown?.id === kept.picture) return shown;
  return atHand.get(kept.picture) ?? keptPicture(kept.picture);
}

/** Whether what two plans say of their pictures, which have one name, leaves room for two different ones. */
export async function samePicture({ picture: a }: Plan, { picture: b }: Plan): Promise<boolean> {
  if (JSON.stringify(a.stand_in) !== JSON.stringify(b.stand_in)) return false;
  if (!a.made_for || !b.made_for || a.made_for.join() === b.made_for.join()) return true;
  return pool.plain('same_picture', a.made_for, b.made_for);
}

/** The picture of a plan by its file name, newest plan's first. */
export async function pictureNamed(of: Plan, name: string): Promise<KeptPicture | null> {
  for (const kept of shelf.value) {
    const { source } = kept.plan.picture;
    if (kept.picture !== null && typeof source !== 'string' && source.file === name && await samePicture(of, kept.plan)) {
      const found = await pictureOf(kept);
      if (found) return found;
    }
  }
  return null;
}

export async function keepOnShelf(of: Plan, shown: KeptPicture | null, name = of.title, plate = newId()): Promise<Kept> {
  const kept: Kept = {
    id: newId(), name: (name || 'Untitled plate').slice(0, LONGEST_NAME), at: Date.now(), plan: of, picture: shown?.id ?? null, plate, small: null,
  };
  if (shown) {
    atHand.set(shown.id, shown);
    await keepPicture(shown);
  }
  await put(kept);
  void printSmall();
  return kept;
}

const same = (a: Plan, b: Plan): boolean => JSON.stringify(a) === JSON.stringify(b);

/** Whether the plan in hand is on the shelf as it is; one whose plate has a record, for that plate. */
export function handIsKept(): boolean {
  const shown = picture.value.name === null ? null : picture.value.id;
  const begun = recorded.value.has(plateId.value);
  return shelf.value.some((kept) => same(kept.plan, plan.value) && kept.picture === shown && (!begun || kept.plate === plateId.value));
}

/** The plan in hand; while an entry in it can't be used, the plan before that entry. */
export const soundHand = (): Plan => (stale.value && soundPlan.value ? soundPlan.value : plan.value);

/** Keeps the plan in hand. */
export async function keepHand(): Promise<Kept> {
  const sound = soundHand();
  return keepOnShelf(sound, keptOf(picture.value), sound.title, plateId.value);
}

/** Puts the plan in hand on the shelf if it would be missed. Gives its name if it was put there. */
export async function keepAside(): Promise<string | null> {
  const example = catalogue.value?.default_plan;
  if ((example && same(plan.value, example) && !recorded.value.has(plateId.value)) || handIsKept()) return null;
  return (await keepHand()).name;
}

export function rename(kept: Kept, name: string): void {
  const words = name.trim().slice(0, LONGEST_NAME);
  if (words && words !== kept.name) void put({ ...kept, name: words });
}

/** A copy, for another plate: what was done to this one's copper stays with it. */
export async function duplicate(kept: Kept): Promise<void> {
  await put({ ...kept, id: newId(), plate: newId(), at: Date.now(), name: `${kept.name.slice(0, LONGEST_NAME - 9)} (copy)` });
}

/** What was deleted last, to be put back. */
export const deleted = signal<{ kept: Kept; picture: KeptPicture | null } | null>(null);

export async function remove(kept: Kept): Promise<void> {
  deleted.value = { kept, picture: await pictureOf(kept) };
  shelf.value = shelf.value.filter((one) => one.id !== kept.id);
  changes += 1;
  ahead.set(kept.id, null);
  try {
    await vault.drop('shelf', kept.id);
    if (ahead.get(kept.id) === null) ahead.delete(kept.id);
    changes += 1;
    channel?.postMessage('changed');
  } catch (error) {
    complain(error);
  }
}

export async function putBack(): Promise<void> {
  const last = deleted.value;
  if (!last) return;
  deleted.value = null;
  if (last.picture) {
    atHand.set(last.picture.id, last.picture);
    await vault.put('pictures', last.picture).catch(complain);
  }
  await put(last.kept);
}

/** Whether a plan has etched lines whose picture is not here. */
async function lacksLines({ lines }: Plan): Promise<boolean> {
  return lines ? await (await import('./linePictures.ts')).linesNamed(lines.picture) === null : false;
}

/** Whether a small proof is missing, or has been printed without lines that are here now. */
async function wantsPrint({ small, plan: of }: Kept): Promise<boolean> {
  return !small || (small.without_lines && !(await lacksLines(of)));
}

let printing = false;

/** Prints the small proofs that are missing, one after another. */
async function printSmall(): Promise<void> {
  if (printing) return;
  printing = true;
  const aside = new PlanWorker();
  const failed = new Set<string>();
  try {
    for (;;) {
      let next: Kept | undefined;
      for (const kept of shelf.value) if (!next && !failed.has(kept.id) && await wantsPrint(kept)) next = kept;
      if (!next) break;
      const { id } = next;
      const shown = await pictureOf(next);
      const { width_mm, height_mm } = next.plan.plate;
      const scale = SMALL_PX / Math.max(width_mm, height_mm);
      const width = Math.max(1, Math.round(width_mm * scale));
      const height = Math.max(1, Math.round(height_mm * scale));
      try {
        const grey = await aside.ask(next.plan, shown, 'first_pass', [width, height]);
        const still = shelf.value.find((kept) => kept.id === id);
        if (still) await put({ ...still, small: { width, grey: new Uint8Array(grey), without_lines: await lacksLines(still.plan) } });
        else failed.add(id);
      } catch {
        failed.add(id);
      }
    }
  } finally {
    aside.end();
    printing = false;
  }
}
