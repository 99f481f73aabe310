import { signal } from '@preact/signals';
import type { Catalogue } from '../engine/protocol.ts';
import { claimDraft, keepDraft, keepNow } from './autosave.ts';
import { keptPicture } from './keptPictures.ts';
import { seen } from './awaited.ts';
import { putMet } from './edits.ts';
import { attachLikeness, attachMet, openPage, type First } from '../engine/scheduler.ts';
import { addressChanged, joined, linkInAddress, offerHarbour, offerLink, openLesson, openLink, takenUp, withoutPicture, type Way } from './links.ts';
import { clearAddress, goToAddress, keepAddress, keepTitle } from './place.ts';
import { keepNames } from './names.ts';
import { CLOCK_OPEN, panel } from './notifications.ts';
import { readKept, recallAll } from './persisted.ts';
import { HARBOUR, pictureFrom } from './picture.ts';
import { plateId } from './plan.ts';
import { refused, said } from './results.ts';
import { checked, openShelf, readShelf } from './shelf.ts';

/** Shown instead of the bench: one plan for the wall. `link` is the fragment it came with. */
export interface Wall { link: string; sentence: string | null }
export const wall = signal<Wall | null>(null);

async function onTheWall(known: Catalogue, link: string): Promise<First> {
  await readShelf();
  const opened = await openLink(link);
  if ('sentence' in opened) {
    wall.value = { link, sentence: opened.sentence };
    return { plan: known.default_plan, picture: HARBOUR };
  }
  wall.value = { link, sentence: null };
  said.value = opened.said;
  return opened;
}

/** The plan left here last time with its picture, or null. */
async function leftHere(known: Catalogue): Promise<First | null> {
  const { draft, said: other } = await claimDraft();
  if (!draft) return null;
  plateId.value = draft.plate;
  const whole = await checked(draft.json);
  const found = whole ? { plan: whole, good: null, entries: [] } : await (await import('./mend.ts')).mendedDraft(draft, known);
  if (!found) return null;
  const words = found.entries.length === 0 ? other
    : ['Your last entry could not be used and was left out; all else is as you left it.', ...found.entries].join(' ').trim();
  const { plan: left, good } = found;
  const kept = await keptPicture(draft.picture);
  if (kept) {
    said.value = words;
    return { plan: left, picture: pictureFrom(kept), good };
  }
  const { picture, said: missing } = await withoutPicture(left, null);
  said.value = joined(words, missing);
  return { plan: left, picture, good };
}

/** Opens the page on the plan left here, on one that came by a link, or on the harbour. */
export async function open(): Promise<void> {
  attachLikeness(seen);
  attachMet(putMet);
  let later: () => Promise<void> = async () => undefined;
  const recalled = recallAll();
  await openPage(async (known) => {
    const first = await firstPlan(known);
    const { plan, said: ofModel } = await takenUp(first.plan, known);
    said.value = joined(said.value, ofModel);
    return { ...first, plan };
  });
  addEventListener('hashchange', () => void (wall.value ? location.reload() : goToAddress() || addressChanged()));
  keepTitle();
  if (wall.value) return;
  keepDraft();
  keepNames();
  goToAddress();
  keepAddress();
  // A clock that was open or running reopens over the step that one was at; a panel that the address names goes first.
  if (panel.value === null && readKept(CLOCK_OPEN) === 'open') panel.value = 'clock';
  await later();
  await openShelf();

  async function firstPlan(known: Catalogue): Promise<First> {
    await recalled;
    const found = linkInAddress();
    if (found?.wall) return onTheWall(known, found.text);
    await readShelf();
    const left = await leftHere(known);
    const fallback = { plan: known.default_plan, picture: HARBOUR };
    if (!found) return left ?? fallback;
    clearAddress();
    if (left) {
      later = () => offer(found.text, found.way);
      return left;
    }
    // Nobody's work can be lost: a fresh visitor sees at once what the link holds.
    const opened = await openLink(found.text);
    if ('sentence' in opened) {
      refused.value = { what: opened.sentence, sentences: ['This is the harbour example instead.'] };
      return fallback;
    }
    const { lesson } = opened;
    if (lesson) {
      // It is shown over the harbour: what is learnt from is not yet one's own plan.
      later = () => openLesson(found.text, opened, lesson, found.way);
      return fallback;
    }
    said.value = opened.said;
    later = async () => { keepNow(); offerHarbour(known.default_plan); };
    return opened;
  }
}

async function offer(text: string, way: Way): Promise<void> {
  const sentence = await offerLink(text, way);
  if (sentence !== null) refused.value = { what: sentence, sentences: ['Your own plan is as it was.'] };
}
