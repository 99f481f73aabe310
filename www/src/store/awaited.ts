import { effect, untracked } from '@preact/signals';
import type { MadeFor, Plan } from '../engine/protocol.ts';
import { cropAt, cropFits, cropWithin, inOrder, widestCrop } from './crop.ts';
import { pool, spaceValues } from '../engine/scheduler.ts';
import { note, putAway } from './notifications.ts';
import type { Decoded } from './decode.ts';
import { forPicture, picture, type Picture } from './picture.ts';
import { amend, change, made, plan } from './plan.ts';
import { refused, said } from './results.ts';

/*
 * A plan may come without the picture that it was made for: by a link, as a file, out of a store that kept no
 * pictures. When that picture comes, crop and thresholds stay; when another does, they are fitted to it.
 */

const NOTE = 'awaited';

/** Size of a picture in words, where it is known. */
export function sizeWords(of: MadeFor | undefined): string {
  return of ? `, ${of[0]} × ${of[1]} pixels` : '';
}

/** The picture that the plan waited for, or another, until the workers have seen which. */
let came: { mark: number; before: Plan } | null = null;

/** Takes a picture onto a plan that waits for one, with the plan's crop and thresholds until it is known better. */
export async function takeAwaited(source: { file: string }, { picture: shown, said: words }: Decoded): Promise<void> {
  const next = await made((of) => asPlanned(of, forPicture(of, source), shown));
  came = { mark: shown.mark, before: plan.value };
  change(`picture “${source.file}”`, next, shown);
  refused.value = null;
  said.value = words;
}

/** A plan with the crop and, where it has as many bites, the thresholds that another has for its own picture. */
async function asPlanned({ picture: { crop, stand_in, thresholds_l } }: Plan, of: Plan, shown: Picture): Promise<Plan> {
  const { left, top, width, height } = stand_in ? await cropWithin(crop, stand_in) : crop;
  const placed = await cropAt(of, shown, left + width / 2, top + height / 2, width);
  const levels = thresholds_l.length === of.bites.length ? thresholds_l : of.picture.thresholds_l;
  return { ...of, picture: { ...of.picture, crop: placed, thresholds_l: levels } };
}

/** The workers have seen the picture in hand: the plan says from now on what it is like. */
export async function seen(by: MadeFor): Promise<void> {
  const shown = picture.value;
  const [width, height, ...tones] = by;
  const is = [...shown.file_px ?? [width, height], ...tones] as MadeFor;
  const waited = came;
  came = null;
  if (waited?.mark === shown.mark) await judge(waited.before, is);
  const { picture: placed } = plan.value;
  if (picture.value.mark !== shown.mark || typeof placed.source === 'string' || placed.stand_in) return;
  // A kept picture no longer knows the size of its file; the plan does.
  if (placed.made_for?.slice(2).join() !== tones.join()) amend({ ...plan.value, picture: { ...placed, made_for: is } });
}

async function judge(before: Plan, is: MadeFor): Promise<void> {
  const shown = picture.value;
  const { source, made_for, stand_in } = before.picture;
  const awaited = typeof source === 'string' ? '' : source.file;
  const same = made_for
    ? await pool.plain('same_picture', made_for, is)
    : shown.name === awaited && (stand_in !== undefined || await cropFits(before, shown));
  if (picture.value.mark !== shown.mark) return;
  // What is said of a picture goes with it.
  const stop = effect(() => {
    if (picture.value.mark !== shown.mark) { untracked(() => putAway(NOTE)); queueMicrotask(() => stop()); }
  });
  const act = (name: string, run: () => void): void => note({
    key: NOTE,
    words: same ? sameWords(made_for, shown) : `This plan was made for “${awaited}”${sizeWords(made_for)}. “${shown.name}” is another picture: crop and values were fitted to it anew.`,
    acts: [{ name, run: () => { putAway(NOTE); run(); } }],
  });
  if (same) {
    act('fit them anew', fitAnew);
  } else {
    amend(await made((of) => widestCrop(of, shown)));
    spaceValues(null);
    act('use the plan’s crop and values', () => inOrder(async () => change('crop and values of the plan', await made((of) => asPlanned(before, of, shown)))));
  }
}

function sameWords(made_for: MadeFor | undefined, { name }: Picture): string {
  return made_for
    ? `“${name}” is the picture that this plan was made for: its crop and values were kept.`
    : `This plan was made for a picture named “${name}”, so its crop and values were kept.`;
}

function fitAnew(): void {
  inOrder(async () => {
    change('crop and values fitted anew', await made((of) => widestCrop(of, picture.value)));
    spaceValues(null);
  });
}
