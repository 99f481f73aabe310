import { effect, signal, untracked } from '@preact/signals';
import type { Plan } from '../engine/protocol.ts';
import { DRAFT, TAB } from './draftKeys.ts';
import { keepPicture } from './keptPictures.ts';
import { tell } from './notifications.ts';
import { keysKept, readKept, writeKept } from './persisted.ts';
import { awaits, keptOf, picture } from './picture.ts';
import { plan, plateId } from './plan.ts';
import { isPlateId } from './recorded.ts';
import { soundPlan, stale } from './results.ts';
import { LINES, newId, vault } from './pictureStore.ts';
import { notKept } from './storeFull.ts';

/*
 * Saves the current plan at every change, under a key of its own for each tab, so that tabs never overwrite each
 * other. A lock held for the tab's lifetime tells a live draft from an abandoned one.
 */

/** A tab's own draft once more, in its session: that is kept at once, whatever becomes of the other stores at a reload. */
const OWN = 'platewright.tab.draft';
/** Minimum time between two saves, ms. */
const APART_MS = 200;
/** How long what is on its way to the store is given before pictures that nobody names are deleted, ms. */
const TIDY_AFTER_MS = 3000;
/** How long a reloaded tab waits for the lock of the page before it, ms. */
const PATIENCE_MS = 700;

/**
 * A tab's last plan, unchecked: `json` is whatever the store holds. If that plan was invalid, `sound` is the last
 * valid one.
 */
export interface Draft { id: string; at: number; json: string; sound: string; picture: string | null; plate: string }

/** Drafts of other tabs, open or closed, newest first. */
export const others = signal<Draft[]>([]);

let id = '';
/** The picture that the draft names and the store has not given: it stays the draft's until another takes its place. */
let owed: { id: string; name: string } | null = null;
let touched = false;
let timer = 0;
let lastWrite = 0;

const readDraft = (key: string): Draft | null => asDraft(key.slice(DRAFT.length), readKept(key));

function asDraft(id: string, kept: unknown): Draft | null {
  if (typeof kept !== 'object' || kept === null) return null;
  const { at, plan: of, sound, picture: shown, plate } = kept as Record<string, unknown>;
  if (typeof of !== 'object' || of === null) return null;
  return {
    sound: typeof sound === 'string' ? sound : '',
    id, at: typeof at === 'number' ? at : 0,
    json: JSON.stringify(of), picture: typeof shown === 'string' ? shown : null, plate: isPlateId(plate) ? plate : id,
  };
}

/** Every draft in the store, newest first. */
function drafts(): Draft[] {
  return keysKept(DRAFT).map(readDraft).filter((draft) => draft !== null).sort((a, b) => b.at - a.at);
}

export function dropDraft(which: string): void {
  writeKept(DRAFT + which, undefined);
  lookAround();
}

function lookAround(): void {
  others.value = drafts().filter((draft) => draft.id !== id);
}

/** Locks a draft for this tab's lifetime: true, false if another tab has it, null without the Locks API. */
async function hold(which: string, patience_ms: number): Promise<boolean | null> {
  if (!('locks' in navigator)) return null;
  const wait = patience_ms > 0 ? { signal: AbortSignal.timeout(patience_ms) } : { ifAvailable: true };
  try {
    return await new Promise<boolean>((resolve, reject) => {
      navigator.locks.request(DRAFT + which, wait, (lock) => {
        resolve(lock !== null);
        return lock ? new Promise<void>(() => undefined) : undefined;
      }).catch(reject);
    });
  } catch (error) {
    return error instanceof DOMException && (error.name === 'TimeoutError' || error.name === 'AbortError') ? false : null;
  }
}

/** What this tab was before a reload: the name of its draft, and the draft as its session has it. */
function formerTab(): { id: string | null; draft: Draft | null } {
  try {
    const id = sessionStorage.getItem(TAB);
    const text = sessionStorage.getItem(OWN);
    return { id, draft: id !== null && text !== null ? asDraft(id, JSON.parse(text)) : null };
  } catch {
    return { id: null, draft: null };
  }
}

/** Of two drafts of one tab the newer. */
const newer = (one: Draft | undefined, other: Draft | null): Draft | null => (one && (!other || one.at >= other.at) ? one : other);

export interface Found { draft: Draft | null; said: string | null }

/** Picks the draft to continue with and locks it, or a copy if another tab may be using it. */
export async function claimDraft(): Promise<Found> {
  const all = drafts();
  const former = formerTab();
  const [way] = performance.getEntriesByType('navigation');
  const reloaded = way instanceof PerformanceNavigationTiming && way.type !== 'navigate';
  let draft: Draft | null = null;
  let copied = false;
  const own = newer(all.find((one) => one.id === former.id), former.draft);
  if (own) {
    const held = await hold(own.id, PATIENCE_MS);
    draft = own;
    copied = held === false || (held === null && !reloaded);
  } else {
    for (const one of all) {
      if (await hold(one.id, 0) !== true) continue;
      draft = one;
      break;
    }
    // All are open in other tabs, or locks are unavailable: continue with a copy of the newest.
    if (!draft && all[0]) { draft = all[0]; copied = true; }
  }
  id = draft && !copied ? draft.id : newId();
  if (copied || !draft) await hold(id, 0);
  touched = draft !== null && !copied;
  try {
    sessionStorage.setItem(TAB, id);
  } catch {
    // A reload then picks the newest draft instead.
  }
  lookAround();
  const said = copied
    ? 'This plan may be open in another tab too. Each tab keeps its own from here on; the other’s stands on the shelf.' : null;
  return { draft, said };
}

/** What this tab's draft goes by. */
export const draftId = (): string => id;

const nameIn = ({ picture: { source } }: Plan): string => (typeof source === 'string' ? '' : source.file);

/** The picture of a draft was not to be had. */
export function owePicture(which: string | null, of: Plan): void {
  owed = which === null ? null : { id: which, name: nameIn(of) };
}

/** The picture that the plan in hand still waits for, or null. */
export function owedPicture(): string | null {
  const of = plan.peek();
  return owed && owed.name === nameIn(of) && awaits(of, picture.peek()) ? owed.id : null;
}

/** Writes the plan in hand down; whether it is in the store then. */
function write(): boolean {
  clearTimeout(timer);
  timer = 0;
  if (!touched) return true;
  lastWrite = Date.now();
  const shown = picture.peek();
  const before = stale.peek() ? soundPlan.peek() : null;
  const sound = before ? JSON.stringify(before) : '';
  const draft = { at: lastWrite, plan: plan.peek(), sound, picture: shown.name === null ? owedPicture() : shown.id, plate: plateId.peek() };
  const kept = writeKept(DRAFT + id, draft);
  if (!kept) notKept('your plan');
  try {
    sessionStorage.setItem(OWN, JSON.stringify(draft));
  } catch {
    // The session's copy is one more than is needed where the stores are well.
  }
  return kept;
}

/** Loads the page anew, on the plan in hand; not where that would be lost, which has been told of then. */
export function loadAnew(): void {
  if (write()) location.reload();
  else tell('The page was not loaded anew: your plan would be lost. Save it first.');
}

/** Saves every change from now on. */
export function keepDraft(): void {
  let first: Plan | null = null;
  effect(() => {
    const now = plan.value;
    void [picture.value.id, stale.value];
    // The plan that the page opened with is saved only once it changes.
    first ??= now;
    if (!touched && now === first) return;
    touched = true;
    const wait = Math.max(0, lastWrite + APART_MS - Date.now());
    if (wait === 0) untracked(write);
    else timer ||= window.setTimeout(write, wait);
  });
  effect(() => {
    const kept = keptOf(picture.value);
    if (kept) untracked(() => void keepPicture(kept));
  });
  addEventListener('pagehide', write);
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'hidden') write();
  });
  addEventListener('storage', (event) => {
    if (event.key === null || event.key.startsWith(DRAFT)) lookAround();
  });
  // Probes the store at the start, to warn before any work is lost.
  const probe = `${TAB}.probe`;
  if (!writeKept(probe, '1') || !writeKept(probe, undefined)) notKept('your plan');
}

/** Saves the plan at once, changed or not. */
export function keepNow(): void {
  touched = true;
  write();
}

/** Before the draft's name, under which a picture file is kept that has come and has not been read yet. */
export const COMING = 'coming:';

/** Deletes pictures that neither a draft nor anything on the shelf, as the store holds it, refers to. */
export async function tidyPictures(): Promise<void> {
  // In this order: another tab stores a picture before its draft, or its shelf, names it.
  const keys = await vault.keys('pictures');
  await new Promise((resolve) => { setTimeout(resolve, TIDY_AFTER_MS); });
  const onShelf = await vault.all('shelf') as { plan?: { lines?: { picture?: unknown } }; picture?: unknown }[];
  const all = drafts();
  const used = new Set<unknown>([...onShelf.map((one) => one.picture), ...all.flatMap((one) => [one.picture, COMING + one.id]), picture.value.id, owed?.id, COMING + id]);
  // Pictures of lines are keyed by the name in the plan.
  const named = JSON.stringify([onShelf.map((one) => one.plan?.lines?.picture), plan.value.lines]) + all.map(({ json, sound }) => json + sound).join();
  for (const key of keys) {
    if (typeof key !== 'string' || used.has(key)) continue;
    if (!key.startsWith(LINES) || !named.includes(JSON.stringify(key.slice(LINES.length)))) await vault.drop('pictures', key);
  }
}
