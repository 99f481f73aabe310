import type { Plan } from '../engine/protocol.ts';
import { keepNow } from './autosave.ts';
import { takeAwaited } from './awaited.ts';
import { hold } from './coming.ts';
import { plateLikePicture, widestCrop } from './crop.ts';
import { decode } from './decode.ts';
import { askReader } from '../engine/reader.ts';
import { pool, spaceValues } from '../engine/scheduler.ts';
import { ownPictureTaken } from './firstTime.ts';
import { takeInHand, withoutPicture } from './links.ts';
import { withoutEnding } from './files.ts';
import { keepPicture } from './keptPictures.ts';
import { mendable } from './mend.ts';
import { note, panel, putAway, tell } from './notifications.ts';
import { awaits, forPicture, HARBOUR, keptOf, picture } from './picture.ts';
import { catalogue, limitsOf } from './catalogue.ts';
import { change, made, plan, plateId, withOwnTones } from './plan.ts';
import { MOST_PIXELS, newId } from './pictureStore.ts';
import { recorded } from './recorded.ts';
import { refused, said } from './results.ts';
import { explained } from './settings.ts';
import { keepAside } from './shelf.ts';

/** A plan's title once it has this picture, null for the harbour: the picture's name, until a title is typed. */
function titleWith(of: Plan, name: string | null): string {
  const { source } = of.picture;
  const example = catalogue.value?.default_plan.title ?? '';
  const given = typeof source === 'string' ? example : titleOf(source.file);
  if (of.title !== '' && of.title !== example && of.title !== given) return of.title;
  return name === null ? example : titleOf(name);
}

function titleOf(name: string): string {
  return [...withoutEnding(name)].slice(0, limitsOf('title').max).join('');
}

/** Nobody has chosen this plate yet: it is the example's, with the example's picture on it. */
function stillTheExamplesPlate({ plate, picture: { source } }: Plan): boolean {
  const example = catalogue.value?.default_plan.plate;
  return source === 'harbour' && plate.width_mm === example?.width_mm && plate.height_mm === example.height_mm;
}

/**
 * Takes a picture onto the plate: its widest crop, and values spaced for its tones. The example's plate takes the
 * picture's shape; one that somebody has chosen stays.
 */
async function takePicture(file: File, tries = 0): Promise<void> {
  const letGo = hold(file, tries);
  try {
    await layPicture(file, file.name || 'pasted picture');
    const kept = keptOf(picture.value);
    if (kept) await keepPicture(kept);
    keepNow();
  } finally {
    letGo();
  }
}

async function layPicture(file: File, name: string): Promise<void> {
  const decoded = await decode(file, name);
  const source = { file: name.slice(0, 255) };
  if (awaits(plan.value, picture.value)) {
    await takeAwaited(source, decoded);
    return;
  }
  const plate = await plateForPicture();
  const laid = await made((of) => (stillTheExamplesPlate(of) ? plateLikePicture : widestCrop)(of, decoded.picture));
  const next = { ...withOwnTones(forPicture(laid, source)), title: titleWith(laid, name) };
  next.picture = { ...next.picture, crop: laid.picture.crop };
  change(`picture “${name}”`, next, decoded.picture, plate);
  refused.value = null;
  said.value = decoded.said;
  spaceValues(null);
  ownPictureTaken();
}

/** What the plate of another picture goes by. One whose copper has been worked keeps its own: its plan goes on the shelf, with its record. */
async function plateForPicture(): Promise<string> {
  if (!recorded.value.has(plateId.value)) return plateId.value;
  const put = await keepAside();
  if (put !== null) tell(`“${put}” was put on the shelf with its record; this picture is for another plate.`);
  return newId();
}

export async function takeHarbour(): Promise<void> {
  const known = catalogue.value;
  if (!known) return;
  const plate = await plateForPicture();
  const { crop, thresholds_l } = known.default_plan.picture;
  const levels = thresholds_l.length === plan.value.bites.length ? thresholds_l : plan.value.picture.thresholds_l;
  const harbour = withOwnTones(forPicture(plan.value, 'harbour'));
  change('the harbour again', { ...harbour, title: titleWith(plan.value, null), picture: { ...harbour.picture, crop, thresholds_l: levels } }, HARBOUR, plate);
  refused.value = said.value = null;
}

/** Problems of a file that are told one by one. */
const MOST_SENTENCES = 4;

async function takePlan(file: File): Promise<void> {
  const { shelf, text: json } = await askReader('read_file', file, MOST_PIXELS);
  if (shelf) {
    tell(await (await import('./shelfFile.ts')).layFromFile(shelf, file.size));
    panel.value = 'shelf';
    return;
  }
  const { plan: next, problems } = await pool.plain('check', json);
  if (!next || problems.some((problem) => problem.severity === 'error')) {
    const more = problems.length - MOST_SENTENCES;
    refused.value = {
      what: `“${file.name}” was not opened; your plan is as it was.`,
      sentences: [...problems.slice(0, MOST_SENTENCES).map(explained), ...(more > 0 ? [`And ${more} more like these.`] : [])],
      // Nothing is wrong with it but single numbers, which the page can mend.
      ...(next && problems.every(mendable) && { acts: [{ name: 'open it all the same, to correct it here', run: () => void takeRead(next, file.name) }] }),
    };
    return;
  }
  await takeRead(next, file.name);
}

/** Takes a plan from a file in hand. */
async function takeRead(next: Plan, name: string): Promise<void> {
  refused.value = null;
  const { picture: shown, said: missing } = await withoutPicture(next, null);
  await takeInHand(`plan “${next.title || name}” opened`, next, shown, missing);
}

/** Takes the first of these files; throws an Error whose message is a sentence for the user. */
export async function take([file, ...others]: File[]): Promise<void> {
  if (!file) return;
  if (others.length > 0) {
    const left = others.length === 1 ? `“${others[0]?.name}” was` : `the other ${others.length} were`;
    note({ key: 'others', words: `One file is taken at a time: “${file.name}” was looked at, ${left} not.`, acts: [] });
  } else putAway('others');
  const looksLikePlan = file.name.toLowerCase().endsWith('.json') || file.type === 'application/json';
  if (looksLikePlan) await takePlan(file);
  else await takePicture(file);
}

/** Most times a page begins to read a picture that it was closed over. */
const MOST_TRIES = 2;

/** Takes a picture that the page before was reading as it was closed. */
export async function takeUp({ file, tries }: { file: File; tries: number }): Promise<void> {
  if (tries + 1 < MOST_TRIES) {
    await takePicture(file, tries + 1);
    tell(`“${file.name}” was being read as the page was closed; it has been read now.`);
  } else {
    refused.value = {
      what: `“${file.name}” was not taken up again: this page was closed ${MOST_TRIES} times while it was being read.`,
      sentences: ['It may be more than this device can hold: choose it again, or save it smaller and choose that.'],
    };
  }
}
