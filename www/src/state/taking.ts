import type { Plan } from '../reckon/protocol';
import { widestCrop } from './crop';
import { decode } from './decode';
import { bench, spaceValues } from './desk';
import { takeInHand, withoutPicture } from './links';
import { note, panel, putAway, tell } from './notes';
import { HARBOUR } from './picture';
import { catalogue, change, plan } from './plan';
import { refused, said } from './results';

/** Longest title that the plan's check allows, in characters. */
const LONGEST_TITLE = 120;

const withoutEnding = (name: string): string => name.replace(/(?<=.)\.[^.\s]*$/, '');

/** A plan's title once it has this picture, null for the harbour: the picture's name, until a title is typed. */
function titleWith(of: Plan, name: string | null): string {
  const { source } = of.picture;
  const example = catalogue.value?.default_plan.title ?? '';
  const given = typeof source === 'string' ? example : titleOf(source.file);
  if (of.title !== '' && of.title !== example && of.title !== given) return of.title;
  return name === null ? example : titleOf(name);
}

function titleOf(name: string): string {
  return [...withoutEnding(name)].slice(0, LONGEST_TITLE).join('');
}

/** Takes a picture onto the plate: its widest crop, and values spaced for its tones. */
async function takePicture(file: File): Promise<void> {
  const name = file.name || 'pasted picture';
  const decoded = await decode(file, name);
  const next = widestCrop({
    ...plan.value,
    title: titleWith(plan.value, name),
    picture: { ...plan.value.picture, source: { file: name.slice(0, 255) } },
  }, decoded.picture);
  change(`picture “${name}”`, next, decoded.picture);
  refused.value = null;
  said.value = decoded.said;
  spaceValues();
}

export function takeHarbour(): void {
  const known = catalogue.value;
  if (!known) return;
  const { crop, thresholds_l } = known.default_plan.picture;
  const levels = thresholds_l.length === plan.value.bites.length ? thresholds_l : plan.value.picture.thresholds_l;
  change('the harbour again', { ...plan.value, title: titleWith(plan.value, null), picture: { ...plan.value.picture, source: 'harbour', crop, thresholds_l: levels } }, HARBOUR);
  refused.value = said.value = null;
}

async function takePlan(file: File): Promise<void> {
  const json = await file.text();
  const shelf = asShelf(json);
  if (shelf) {
    tell(await (await import('./shelfFile')).layFromFile(shelf, file.size));
    panel.value = 'shelf';
    return;
  }
  const { plan: next, problems } = await bench.front.ask({ do: 'check', json });
  if (!next || problems.some((problem) => problem.severity === 'error')) {
    refused.value = {
      what: `“${file.name}” was not opened; your plan is as it was.`,
      sentences: problems.map((problem) => problem.message),
    };
    return;
  }
  refused.value = null;
  const { picture: shown, said: missing } = await withoutPicture(next, null);
  await takeInHand(`plan “${next.title || file.name}” opened`, next, shown);
  said.value = missing;
}

function asShelf(text: string): Record<string, unknown> | null {
  try {
    const json: unknown = JSON.parse(text);
    return typeof json === 'object' && json !== null && 'platewright_shelf' in json ? json as Record<string, unknown> : null;
  } catch {
    return null;
  }
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
