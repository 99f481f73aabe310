import type { At, Choice, Plan, Strip } from '../../engine/protocol.ts';
import { catalogue, limitsOf, rangeOf, toStep, type Limits } from '../../store/catalogue.ts';
import { numberAt, wordAt } from '../../store/plan.ts';
import { pool } from '../../engine/scheduler.ts';
import { conversion, decimalsOf } from '../../store/settings.ts';
import shares from './shares.json';

/** What varies along one side of a test strip; a choice has all its words for steps. */
export interface Vary { key: string; from: number; to: number; count: number }

/** A test strip: what varies, and which value is printed (null: one bite of `minutes`). */
export interface StripSettings { along: Vary; down: Vary | null; value: number | null; minutes: number }

/** One step along a side. */
export interface Step { key: string; at: At }

/** Something that can be varied: a number of the plan, or a choice. */
export interface Variable {
  key: string; label: string;
  /** For numbers. */
  field?: Limits & { unit: string };
  choice?: Choice;
}

/** Tools that can take the whole plate down, in one more state, and as far as a strip goes, µm. */
const TOOLS: Record<string, string> = { scraper_um: 'Scraped off', burnisher_um: 'Burnished down' };
const FAR_UM = 40;

/** Everything that can be varied in a plan, in the order of the bench. */
export function variables(plan: Plan): Variable[] {
  const { fields = [], choices = [], in_strips = [] } = catalogue.value ?? {};
  const offered = new Set(in_strips);
  const minutes = { ...limitsOf('bites.bite_min'), unit: 'min' };
  const ofPart = (part: string): Variable[] => [
    ...fields.filter((field) => field.part === part && offered.has(field.key)).map((field) => ({ key: field.key, label: field.label, field })),
    ...choices.filter((choice) => choice.part === part && offered.has(choice.key)).map((choice) => ({ key: choice.key, label: choice.label, choice })),
  ];
  return [
    ...['plate', 'dust', 'bake', 'bath'].flatMap(ofPart),
    { key: 'minutes', label: 'One bite of', field: minutes },
    ...plan.bites.map((_, i) => ({ key: `bites.${i}.bite_min`, label: `Bite ${i + 1}`, field: minutes })),
    ...Object.entries(TOOLS).map(([key, label]) => ({ key, label, field: { min: 0, max: FAR_UM, step: minutes.step, unit: 'µm' } })),
    ...ofPart('ink'),
  ];
}

export function variable(plan: Plan, key: string): Variable | undefined {
  return variables(plan).find((one) => one.key === key);
}

/** A strip as the Rust lays it out; `shares` are the plan's, of the plate per value. */
export function layOut(plan: Plan, shares: number[], { along, down, value, minutes }: StripSettings): Promise<Strip> {
  const range = (side: Vary | null): Float64Array => Float64Array.from(side ? [side.from, side.to, side.count] : []);
  return pool.ask('strip', plan, Float64Array.from(shares), along.key, range(along), down?.key ?? '', range(down), value ?? 0, minutes);
}

/** Share of the example plate per value, paper first: how fast its bath tires. */
export const SHARES: number[] = shares;

/** The example plan with numbers and choices set by their keys, in this order. */
export async function exampleWith(set: Record<string, number | string | boolean>): Promise<Plan> {
  let plan = catalogue.value?.default_plan;
  if (!plan) throw new Error('The page is not open yet.');
  for (const [key, at] of Object.entries(set)) {
    plan = typeof at === 'number' ? await pool.ask('with_step', plan, key, at, '') : await pool.ask('with_step', plan, key, 0, String(at));
  }
  return plan;
}

/** The plan's own place on a side, or null where it has none. */
export function ownPlace(plan: Plan, key: string): At | null {
  if (key === 'minutes') return null;
  if (TOOLS[key] !== undefined) return 0;
  const bite = /^bites\.(\d+)\./.exec(key);
  if (bite) return plan.bites[Number(bite[1])]?.bite_min ?? null;
  return variable(plan, key)?.choice ? wordAt(plan, key) : numberAt(plan, key);
}

/** A range round the plan's own place, wide enough to see something. */
export function rangeFor(plan: Plan, key: string, count = 7): Vary {
  const field = variable(plan, key)?.field;
  if (!field) return { key, from: 0, to: 0, count };
  const own = key === 'minutes' ? 12 : Number(ownPlace(plan, key));
  const temperature = field.unit === '°C';
  const from = temperature ? own - (key.startsWith('bake') ? 25 : 8) : own / 4;
  const to = temperature ? own + (key.startsWith('bake') ? 35 : 8) : own > 0 ? own * 2.5 : field.max / 4;
  // Even steps of what the plan can tell apart, one of them the plan's own.
  const [low, high] = [Math.max(field.min, from), Math.min(field.max, to)];
  const apart = Math.max(1, Math.floor((high - low) / (count - 1) / field.step + 1e-9)) * field.step;
  const before = Math.min(Math.floor((own - field.min) / apart + 1e-9), Math.round((own - low) / apart));
  const begin = Math.max(field.min, Math.min(own - before * apart, field.max - apart * (count - 1)));
  const tidy = (metric: number): number => Number(metric.toFixed(4));
  return { key, from: tidy(begin), to: tidy(Math.min(field.max, begin + apart * (count - 1))), count };
}

/** What a strip is set to before anything is chosen. */
export function firstSettings(of: Plan): StripSettings {
  return { along: rangeFor(of, 'dust.wait_s'), down: null, value: Math.ceil(of.bites.length / 2), minutes: 8 };
}

/** What is wrong with a side, in a sentence, or null. */
export function sideProblem(plan: Plan, { key, from, to }: Vary): string | null {
  const known = variable(plan, key);
  if (!known) return 'This plan has no such number; choose another.';
  const { field } = known;
  if (!field) return null;
  const name = known.label.toLowerCase();
  const words = (metric: number): string => stepWords(known, metric).replace('\u00a0', ' ');
  if (!Number.isFinite(from) || !Number.isFinite(to)) return `Type numbers for the range of ${name}.`;
  const out = [from, to].find((at) => at < field.min - 1e-9 || at > field.max + 1e-9);
  if (out !== undefined) return `${known.label} is ${words(out)}; it must lie between ${words(field.min)} and ${words(field.max)}.`;
  if (Math.abs(to - from) < 1e-9) return `The range of ${name} begins and ends at ${words(from)}; give it some width.`;
  return toStep(field, from) === toStep(field, to) ? `The range of ${name} is narrower than the ${words(field.step)} a plan can tell apart; widen it.` : null;
}

/** Fewest and most patches along a side. */
export const patchRange = (): [least: number, most: number] => rangeOf('strip.patches');

/** A step in words: "60 s", "tarlatan only". */
export function stepWords(of: Variable | undefined, at: At): string {
  if (!of?.field || typeof at === 'string') return of?.choice?.options.find(([word]) => word === at)?.[1] ?? String(at);
  const { to, unit, decimals } = conversion(of.field.unit, decimalsOf(of.field.step));
  return `${Number(to(at).toFixed(Math.max(2, decimals)))}${unit ? `\u00a0${unit}` : ''}`;
}

/** "Bite 1 of 5 min", since a bite's name ends in a number. */
const isBite = (key: string): boolean => key.startsWith('bites.');

/** Where a patch stands, in words: "Wait 60 s, Bite 1 of 5 min". */
export function placeWords(plan: Plan, ...steps: (Step | null | undefined)[]): string {
  return steps.flatMap((step) => {
    if (!step) return [];
    const of = variable(plan, step.key);
    return [`${of?.label ?? step.key} ${isBite(step.key) ? 'of ' : ''}${stepWords(of, step.at)}`];
  }).join(', ');
}

/** The same of every patch of a strip, row by row. */
export function allPlaceWords(plan: Plan, { along, down }: StripSettings, { columns, rows }: Strip): string[] {
  return (down ? rows.map((at) => ({ key: down.key, at })) : [null])
    .flatMap((row) => columns.map((at) => placeWords(plan, { key: along.key, at }, row)));
}
