import type { Choice, Field, Plan } from '../engine/protocol';
import { catalogue, numberAt, withEntry, wordAt } from './plan';
import { conversion, decimalsOf } from './settings';

/** What varies along one side of a test strip; a choice has all its words for steps. */
export interface Vary { key: string; from: number; to: number; count: number }

/** A test strip: what varies, and which value is printed (null: one bite of `minutes`). */
export interface StripSettings { along: Vary; down: Vary | null; value: number | null; minutes: number }

/** One step along a side. */
export interface Step { key: string; at: number | string }

/** Fewest and most patches along a side. */
export const LEAST = 2;
export const MOST = 9;

/** Something that can be varied: a number of the plan, or a choice. */
export interface Variable {
  key: string; label: string;
  /** For numbers. */
  field?: Pick<Field, 'key' | 'unit' | 'min' | 'max' | 'step'>;
  choice?: Choice;
}

/** Numbers that a test strip has no use for. */
const LEFT_OUT = new Set(['plate.width_mm', 'plate.height_mm', 'paper.margin_mm']);

/** Tools that can take the whole plate down, in one more state; by how much, µm. */
const TOOLS: Record<string, { tool: string; label: string }> = {
  scraper_um: { tool: 'scraper', label: 'Scraped off' },
  burnisher_um: { tool: 'burnisher', label: 'Burnished down' },
};
const TOOL_RANGE = { unit: 'µm', min: 0, max: 40, step: 0.25 };

/** Everything that can be varied in a plan, in the order of the bench. */
export function variables(plan: Plan): Variable[] {
  const known = catalogue.value;
  if (!known) return [];
  const [least, most] = known.limits.bite_min;
  const minutes = { unit: 'min', min: least, max: most, step: 0.25 };
  const ofPart = (part: string): Variable[] => [
    ...known.fields.filter((field) => field.part === part && !LEFT_OUT.has(field.key)).map((field) => ({ key: field.key, label: field.label, field })),
    ...known.choices.filter((choice) => choice.part === part).map((choice) => ({ key: choice.key, label: choice.label, choice })),
  ];
  return [
    ...['plate', 'dust', 'bake', 'bath'].flatMap(ofPart),
    { key: 'minutes', label: 'One bite of', field: { key: 'minutes', ...minutes } },
    ...plan.bites.map((_, i) => ({ key: `bites.${i}.bite_min`, label: `Bite ${i + 1}`, field: { key: `bites.${i}.bite_min`, ...minutes } })),
    ...Object.entries(TOOLS).map(([key, { label }]) => ({ key, label, field: { key, ...TOOL_RANGE } })),
    ...ofPart('ink'),
  ];
}

export function variable(plan: Plan, key: string): Variable | undefined {
  return variables(plan).find((one) => one.key === key);
}

const BITE = /^bites\.(\d+)\.bite_min$/;

/** A plan with one step of a strip taken. `minutes` gives value 1 one bite, whatever the schedule was. */
function withStep(plan: Plan, { key, at }: Step): Plan {
  if (key === 'minutes') {
    const { min_values: least } = catalogue.value?.limits ?? { min_values: 2 };
    return {
      ...plan,
      bites: Array.from({ length: least }, () => ({ bite_min: Number(at) })),
      picture: { ...plan.picture, thresholds_l: plan.picture.thresholds_l.slice(0, least) },
    };
  }
  const tool = TOOLS[key]?.tool;
  if (tool !== undefined) return Number(at) === 0 ? plan : workedAllOver(plan, tool, Number(at));
  const bite = BITE.exec(key);
  if (bite) return { ...plan, bites: plan.bites.map((own, i) => (i === Number(bite[1]) ? { ...own, bite_min: Number(at) } : own)) };
  return withEntry(plan, key, at === 'true' ? true : at === 'false' ? false : at);
}

/** A plan with one more state, in which a tool takes the whole plate down. */
function workedAllOver(plan: Plan, tool: string, take_um: number): Plan {
  const { width_mm: right, height_mm: bottom } = plan.plate;
  const states = plan.states ?? [];
  const work = { tool: { tool, passage: true, width_mm: 0, take_um, points_mm: [[0, 0], [right, 0], [right, bottom], [0, bottom]] } };
  return { ...plan, states: [...states, { name: '', from_state: states.length + 1, work: [work] }] } as Plan;
}

export function withSteps(plan: Plan, steps: Step[]): Plan {
  // One bite first: the others may be numbers of the schedule it replaces.
  return [...steps].sort((a, b) => Number(b.key === 'minutes') - Number(a.key === 'minutes')).reduce(withStep, plan);
}

/** Minutes of bites come in quarters. */
const QUARTER = 0.25;

/** The steps of a side: evenly from end to end, each as fine as the plan keeps it, none twice. */
export function stepsOf({ key, from, to, count }: Vary): Step[] {
  const choice = catalogue.value?.choices.find((one) => one.key === key);
  if (choice) return choice.options.map(([word]) => ({ key, at: word }));
  const fine = catalogue.value?.fields.find((one) => one.key === key)?.step ?? QUARTER;
  const even = Array.from({ length: count }, (_, i) => from + ((to - from) * i) / (count - 1));
  const kept = even.map((at) => Number((Math.round(at / fine) * fine).toFixed(4)));
  return [...new Set(kept)].map((at) => ({ key, at }));
}

/** The plan's own place on a side, or null where it has none. */
export function ownPlace(plan: Plan, key: string): number | string | null {
  if (key === 'minutes') return null;
  if (TOOLS[key]) return 0;
  const bite = BITE.exec(key);
  if (bite) return plan.bites[Number(bite[1])]?.bite_min ?? null;
  return catalogue.value?.choices.some((one) => one.key === key) ? wordAt(plan, key) : numberAt(plan, key);
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

/** What is wrong with a side, in a sentence, or null. */
export function sideProblem(plan: Plan, side: Vary): string | null {
  const known = variable(plan, side.key);
  if (!known) return 'This plan has no such number; choose another.';
  const { field } = known;
  if (!field) return null;
  const { to, unit, decimals } = conversion(field.unit, decimalsOf(field.step));
  const words = (metric: number): string => `${to(metric).toFixed(decimals)} ${unit}`.trim();
  if (!Number.isFinite(side.from) || !Number.isFinite(side.to)) return `Type numbers for the range of ${known.label.toLowerCase()}.`;
  const out = [side.from, side.to].find((at) => at < field.min - 1e-9 || at > field.max + 1e-9);
  if (out !== undefined) return `${known.label} is ${words(out)}; it must lie between ${words(field.min)} and ${words(field.max)}.`;
  if (Math.abs(side.to - side.from) < 1e-9) return `The range of ${known.label.toLowerCase()} begins and ends at ${words(side.from)}; give it some width.`;
  if (stepsOf(side).length < LEAST) return `The range of ${known.label.toLowerCase()} is narrower than the ${words(field.step)} a plan can tell apart; widen it.`;
  return null;
}

/** A step in words: "60 s", "tarlatan only". */
export function stepWords(plan: Plan, { key, at }: Step): string {
  const known = variable(plan, key);
  if (known?.choice) return known.choice.options.find(([word]) => word === at)?.[1] ?? String(at);
  if (!known?.field) return String(at);
  const { to, unit, decimals } = conversion(known.field.unit, decimalsOf(known.field.step));
  return `${Number(to(Number(at)).toFixed(Math.max(2, decimals)))}${unit ? `\u00a0${unit}` : ''}`;
}
