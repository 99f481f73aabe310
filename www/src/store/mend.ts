import type { Catalogue, Plan, Diagnostic } from '../engine/protocol.ts';
import type { Draft } from './autosave.ts';
import { catalogue } from './catalogue.ts';
import { numberAt, withEntry } from './plan.ts';
import { constantIn } from './results.ts';
import { explained } from './settings.ts';
import { checked, lookedAt } from './shelf.ts';

/* How a plan that can't be calculated becomes one that can: entry by entry, all else as it is. */

/** The plan without one constant of its calibration, or without all of it. */
export function withoutConstant(of: Plan, key: string | null): Plan {
  const { calibration = {}, calibration_name, ...rest } = of;
  const left = Object.entries(calibration).filter(([name]) => key !== null && name !== key);
  if (left.length === 0) return rest;
  return { ...rest, calibration: Object.fromEntries(left), ...(calibration_name && { calibration_name }) };
}

/** The place of the bite whose minutes a problem's field names, or -1. */
export function biteIn(field: string): number {
  return Number(/^bites\.(\d+)\.bite_min$/.exec(field)?.[1] ?? -1);
}

/** Whether a problem lies in one number that has an entry of its own, or in a constant. */
export function mendable({ field }: Diagnostic): boolean {
  return constantIn(field) !== null || biteIn(field) >= 0 || catalogue.value?.fields.some(({ key }) => key === field) === true;
}

/** The plan with what a problem's field names as it was in `good`, the last plan that could be calculated, or else at its default. */
export function mendedAt(of: Plan, field: string, good: Plan | null, known: Catalogue): Plan {
  const constant = constantIn(field);
  if (constant !== null) return withoutConstant(of, constant);
  const number = known.fields.find(({ key }) => key === field);
  if (number) {
    const last = good ? numberAt(good, field) : NaN;
    return withEntry(of, field, last >= number.min && last <= number.max ? last : number.default);
  }
  const index = biteIn(field);
  const last = good?.bites.length === of.bites.length ? good.bites[index] : undefined;
  if (last) return { ...of, bites: of.bites.map((bite, i) => (i === index ? last : bite)) };
  const before = good ?? known.default_plan;
  const part = field.split('.')[0] as keyof Plan;
  // Bites and the tones they print belong together, and the picture stays whichever it is.
  if (part === 'bites' || part === 'picture') {
    return { ...of, bites: before.bites, picture: { ...before.picture, source: of.picture.source } };
  }
  const { [part]: _, ...rest } = of;
  return { ...rest, ...(before[part] !== undefined && { [part]: before[part] }) } as Plan;
}

/**
 * A draft whose plan can't be calculated, with every entry of it put back: `plan` keeps what is wrong with its
 * calibration, for the user to decide on; `good` is without that, too. Null where that doesn't help.
 */
export async function mendedDraft(draft: Draft, known: Catalogue): Promise<{ plan: Plan; good: Plan | null; entries: string[] } | null> {
  const sound = draft.sound ? await checked(draft.sound) : null;
  const { plan: of, wrong } = await lookedAt(draft.json);
  const constants = wrong.filter(({ field }) => constantIn(field) !== null);
  const entries = wrong.filter(({ field }) => constantIn(field) === null);
  const mend = (from: Plan, problems: Diagnostic[]): Plan => problems.reduce((next, { field }) => mendedAt(next, field, sound, known), from);
  if (of) {
    const left = mend(of, entries);
    const good = mend(left, constants);
    if (await checked(good)) return { plan: left, good: constants.length > 0 ? good : null, entries: entries.map(explained) };
  }
  return sound && { plan: sound, good: null, entries: [''] };
}
