import { batch, signal } from '@preact/signals';
import type { Difference, Plan, SharedLesson } from '../engine/protocol.ts';
import { pool } from '../engine/scheduler.ts';
import { GIVEN, given, handout, lesson as inHand, presenting } from './lessons.ts';
import { note, panel, putAway, tell } from './notifications.ts';
import { clearAddress, placeNamed } from './place.ts';
import { HARBOUR, keptOf, picture, pictureFrom, type Picture } from './picture.ts';
import { catalogue, change, plan } from './plan.ts';
import { atFocus, lastGood, refused, said } from './results.ts';
import { keepAside, keepOnShelf, pictureNamed, samePicture } from './shelf.ts';
import { WorkerClient } from '../engine/workerClient.ts';
import { newId } from './pictureStore.ts';

/** A plan that came from elsewhere, offered beside the one in hand. */
export interface Guest { plan: Plan; picture: Picture; said: string | null; differences: Difference[] }
export const guest = signal<Guest | null>(null);

/** Time a link may take to be read, ms. */
const MOST_MS = 10_000;

/** Where the page lives, without a fragment. A page opened from disk lives nowhere for others. */
export const address = (): string => location.href.split('#')[0] ?? '';
export const fromDisk = location.protocol === 'file:';

/** The fragment, if it may be a link and not a place on the page; and how a lesson in it is to be shown. */
export function linkInAddress(): { text: string; wall: boolean; way: Way } | null {
  const text = location.hash.slice(1);
  if (placeNamed(text)) return null;
  const [, wall, link = '', way] = /^(wall\/)?(.*?)(?:\/(present|handout))?$/s.exec(text) ?? [];
  return { text: link, wall: wall !== undefined, way: (way ?? 'read') as Way };
}

/** A lesson is read, shown to a class, or laid out on paper. */
export type Way = 'read' | 'present' | 'handout';

/** What was in a link. `note` is said of the link itself, `said` of its plan as well. */
export interface Opened { plan: Plan; picture: Picture; said: string | null; note: string | null; lesson: SharedLesson | null }

/** Reads a link in a worker of its own, so that not even the worst can hold anything up. */
export async function openLink(text: string): Promise<Opened | { sentence: string }> {
  const reader = new WorkerClient();
  let late: ReturnType<typeof setTimeout> | undefined;
  try {
    // On a busy machine a worker may take its time to start: that is not the link's.
    await reader.ask('unfit', '', 1, 1);
    late = setTimeout(() => reader.end(), MOST_MS);
    const { plan: found, sentence, lesson = null, lightness, width } = await reader.ask('open_link', text);
    if (!found) return { sentence: sentence ?? 'This is not a link to a plan.' };
    const beside = { note: sentence ?? null, lesson };
    if (width > 0) return { ...beside, ...await withLines(found, withSmallPicture(found, lightness, width, sentence)) };
    return { ...beside, plan: found, ...await withoutPicture(found, sentence ?? null) };
  } catch {
    return { sentence: 'This link could not be read: ask for the plan as a file instead.' };
  } finally {
    clearTimeout(late);
    reader.end();
  }
}

function withSmallPicture(of: Plan, lightness: Uint8Array<ArrayBuffer>, width: number, sentence = ''): { plan: Plan; picture: Picture; said: string | null } {
  const name = typeof of.picture.source === 'string' ? 'small picture' : of.picture.source.file;
  const small = pictureFrom({ id: newId(), name, width, height: lightness.length / width, lightness });
  const { source, made_for, stand_in = { left: 0, top: 0, width: 1, height: 1 } } = of.picture;
  const placed = { ...of.picture, source: { file: name }, ...(typeof source === 'string' ? {} : { stand_in }) };
  const size = made_for ? ` (${made_for[0]} × ${made_for[1]} pixels)` : '';
  return {
    plan: { ...of, picture: placed }, picture: small,
    said: `The picture that came with the link is a coarse stand-in. Drop “${name}”${size} itself on the page to replace it: crop and values stay. ${sentence}`.trim(),
  };
}

/** The picture a plan names, where it is to be had; else the harbour, and a sentence. */
export async function withoutPicture(of: Plan, sentence: string | null): Promise<{ picture: Picture; said: string | null }> {
  return withLines(of, await itsPicture(of, sentence));
}

/** Sentences one after another, or null where there is none. */
export function joined(...sentences: (string | null | undefined)[]): string | null {
  return sentences.filter(Boolean).join(' ') || null;
}

/** A plan to go on with under this page's model, and what is to be said where it was made with another. */
export async function takenUp(of: Plan, known = catalogue.value): Promise<{ plan: Plan; said: string | null }> {
  if (of.model === known?.default_plan.model) return { plan: of, said: null };
  const { plan: taken, sentence } = await pool.plain('take_up', of);
  return { plan: taken, said: sentence ?? null };
}

/** What is to be said of a plan, and of its lines where their picture is not here. */
async function withLines<F extends { said: string | null }>(of: Plan, found: F): Promise<F> {
  const missing = of.lines && await (await import('./linePictures.ts')).linesMissing(of.lines.picture);
  return missing ? { ...found, said: joined(found.said, missing) } : found;
}

async function itsPicture(of: Plan, sentence: string | null): Promise<{ picture: Picture; said: string | null }> {
  const { source } = of.picture;
  if (typeof source === 'string') return { picture: HARBOUR, said: sentence };
  if (picture.value.name === source.file && await samePicture(of, plan.value)) return { picture: picture.value, said: sentence };
  const kept = await pictureNamed(of, source.file);
  if (kept) return { picture: pictureFrom(kept), said: `Its picture, “${source.file}”, was found on your shelf.` };
  return { picture: HARBOUR, said: sentence ?? `Its picture, “${source.file}”, did not come with it: drop it on the page, and its crop and values stay. Until then the harbour stands in for it.` };
}

/** Shows a lesson that came with a link over the plan in hand, which stays as it is. */
export async function openLesson(text: string, { plan: of, picture: shown, said, note: told }: Opened, lesson: SharedLesson, way: Way = 'read'): Promise<void> {
  const { plan: base, said: ofModel } = await takenUp(of);
  batch(() => {
    given.value = { link: text.slice(text.lastIndexOf('#') + 1).replace(/\s/g, ''), lesson, plan: base, picture: shown, note: told, said: joined(said, ofModel) };
    inHand.value = GIVEN;
    presenting.value = way === 'present';
    handout.value = way === 'handout';
    panel.value = 'lessons';
  });
}

/** Opens whatever was pasted, typed or found in the address, beside the plan in hand. Gives the sentence if it can't. */
export async function offerLink(text: string, way: Way = 'read'): Promise<string | null> {
  const opened = await openLink(text);
  if ('sentence' in opened) return opened.sentence;
  if (opened.lesson) {
    await openLesson(text, opened, opened.lesson, way);
    return null;
  }
  const { differences } = await pool
    .plain('differences', plan.value, opened.plan)
    // Only when the plan in hand is unsound.
    .catch(() => ({ differences: [] }));
  if (JSON.stringify(opened.plan) === JSON.stringify(plan.value) && opened.picture.name === picture.value.name) {
    tell('This link holds the very plan that is open here.');
    return null;
  }
  guest.value = { plan: opened.plan, picture: opened.picture, said: opened.said, differences };
  return null;
}

/** The address changed while the page was open. */
export async function addressChanged(): Promise<void> {
  const found = linkInAddress();
  if (!found) return;
  if (found.wall) { location.reload(); return; }
  clearAddress();
  const sentence = await offerLink(found.text, found.way);
  refused.value = sentence === null ? null : { what: sentence, sentences: ['Your own plan is as it was.'] };
}

/** Takes the guest in hand; what was there goes on the shelf unless it stands there already. */
export async function lookAtGuest(): Promise<void> {
  const now = guest.value;
  if (!now) return;
  guest.value = null;
  await takeInHand(`plan “${now.plan.title || 'untitled plate'}” from a link`, now.plan, now.picture, now.said);
}

export async function keepBoth(): Promise<void> {
  const now = guest.value;
  if (!now) return;
  guest.value = null;
  await keepAside();
  await keepOnShelf(now.plan, keptOf(now.picture));
  tell('Both plans are on the shelf.');
}

/** Another plan takes the place of the one in hand, which is put on the shelf first. `words` are said of it; `plate`: the piece of copper it is for, another one unless that is known. */
export async function takeInHand(what: string, next: Plan, nextPicture: Picture, words: string | null = null, plate = newId()): Promise<void> {
  const put = await keepAside();
  const { plan: taken, said: ofModel } = await takenUp(next);
  // What another plan was like is no help to this one.
  lastGood.value = null;
  atFocus.clear();
  change(what, taken, nextPicture, plate);
  said.value = joined(words, ofModel);
  if (put !== null) tell(`“${put}” was put on the shelf as it was.`);
}

/** Tells someone who came by a link where the example is. */
export function offerHarbour(known: Plan): void {
  note({
    key: 'harbour',
    words: 'This plan came with the link.',
    acts: [{ name: 'see the harbour example instead', run: () => { putAway('harbour'); void takeInHand('the harbour example', known, HARBOUR); } }],
  });
}
