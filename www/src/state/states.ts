import { signal } from '@preact/signals';
import type { Edition, LaterGround, Plan, State, Tool, ToolWork, Work } from '../reckon/protocol';
import { state } from './look';
import { change, plan } from './plan';

/** A place in mm on the print, in whole tenths. */
export type Corner = [number, number];

/** What the hand holds over the proof; `outline` asks instead of working. */
export type Held = Tool | 'outline';

/** The tool in hand; null looks only. */
export const held = signal<Held | null>(null);
/** The tool works an outlined passage instead of strokes. */
export const asPassage = signal(false);
/** Width of a stroke or of a passage's soft edge, mm, and how far each goes down, µm. */
export const width_mm = signal(6);
export const take_um = signal(1);
/** The passage that is asked about. */
export const outline = signal<Corner[]>([]);

/** Most points of a stroke or outline. */
const MOST_POINTS = 200;

export const TOOL_WORDS: [Held, string][] = [
  ['scraper', 'scraper'], ['point', 'point'], ['burnisher', 'burnisher'], ['polish', 'charcoal'],
];

/** Width a tool is taken up with, mm. */
const WIDTHS: Record<Held, number> = { scraper: 6, point: 0.3, burnisher: 3, polish: 12, outline: 0 };

export function takeUp(tool: Held | null): void {
  held.value = held.value === tool ? null : tool;
  if (held.value) width_mm.value = WIDTHS[held.value];
}

export function states(): State[] {
  return plan.value.states ?? [];
}

/** Number of the state looked at: 1 is the first proof. */
export function shown(): number {
  const last = states().length + 1;
  return state.value === 0 ? last : Math.min(state.value, last);
}

function withStates(next: State[]): Plan {
  const { states: _, ...rest } = plan.value;
  return next.length ? { ...rest, states: next } : rest;
}

function put(what: string, next: State[], look: number): void {
  state.value = look;
  change(what, withStates(next));
}

/** A new state that goes on from number `from`. */
export function branch(from: number): void {
  put(`a new state from state ${from}`, [...states(), { name: '', from_state: from, work: [] }], states().length + 2);
}

/** Work in the state looked at; after the first proof that begins a new state. */
export function addWork(what: string, work: Work): void {
  const at = shown();
  if (at === 1) put(what, [...states(), { name: '', from_state: 1, work: [work] }], states().length + 2);
  else put(what, states().map((one, i) => (i === at - 2 ? { ...one, work: [...one.work, work] } : one)), at);
}

export function changeWork(what: string, index: number, next: Work | null): void {
  const at = shown();
  put(what, states().map((one, i) => {
    if (i !== at - 2) return one;
    return { ...one, work: one.work.flatMap((work, j) => (j === index ? (next ? [next] : []) : [work])) };
  }), at);
}

export function rename(name: string): void {
  const at = shown();
  put(`name of state ${at}`, states().map((one, i) => (i === at - 2 ? { ...one, name } : one)), at);
}

/** States that go on from this one, near or far. */
export function onwards(number: number): number {
  const found = new Set([number]);
  states().forEach((one, i) => { if (found.has(one.from_state)) found.add(i + 2); });
  return found.size - 1;
}

/** Takes a state out, with all that go on from it. */
export function takeOut(number: number): void {
  const gone = new Set([number]);
  states().forEach((one, i) => { if (gone.has(one.from_state)) gone.add(i + 2); });
  const numbers = new Map<number, number>([[1, 1]]);
  const kept = states().filter((_, i) => !gone.has(i + 2));
  let next = 2;
  states().forEach((_, i) => { if (!gone.has(i + 2)) numbers.set(i + 2, next++); });
  const from = states()[number - 2]?.from_state ?? 1;
  put(`state ${number} taken out`, kept.map((one) => ({ ...one, from_state: numbers.get(one.from_state) ?? 1 })), numbers.get(from) ?? 1);
}

/** Places in whole tenths of a millimetre, no more of them than a plan may have. */
function tenths(points: Corner[]): Corner[] {
  const round = (mm: number): number => Math.round(mm * 10) / 10 || 0;
  let tolerance = 0.05;
  let kept = points;
  do {
    tolerance *= 2;
    kept = simplified(points, tolerance);
  } while (kept.length > MOST_POINTS);
  return kept.map(([x, y]) => [round(x), round(y)]);
}

/** The path without points that lie within `tolerance` mm of it (Douglas & Peucker 1973). */
function simplified(points: Corner[], tolerance: number): Corner[] {
  const first = points[0];
  const last = points.at(-1);
  if (!first || !last || points.length < 3) return points;
  const [dx, dy] = [last[0] - first[0], last[1] - first[1]];
  const length = Math.hypot(dx, dy);
  let farthest = 0;
  let most = tolerance;
  points.forEach(([x, y], i) => {
    const off = length > 0
      ? Math.abs(dx * (y - first[1]) - dy * (x - first[0])) / length
      : Math.hypot(x - first[0], y - first[1]);
    if (off > most) [farthest, most] = [i, off];
  });
  if (!farthest) return [first, last];
  return [...simplified(points.slice(0, farthest + 1), tolerance).slice(0, -1), ...simplified(points.slice(farthest), tolerance)];
}

/** What a drawn path becomes: a stroke, a worked passage, or an outline to ask about. `press` is 1 for a usual hand. */
export function drawn(path: Corner[], press: number): void {
  const tool = held.value;
  if (!tool || !path.length) return;
  const points_mm = tenths(path);
  if (tool === 'outline') {
    if (points_mm.length >= 3) outline.value = points_mm;
    return;
  }
  const passage = asPassage.value;
  if (passage && points_mm.length < 3) return;
  const take = Math.round(Math.min(200, Math.max(0.1, take_um.value * press)) * 10) / 10;
  work(tool, passage, take, passage ? Math.min(width_mm.value, 4) : width_mm.value, points_mm);
}

export function work(tool: Tool, passage: boolean, take: number, width: number, points_mm: Corner[]): void {
  const done: ToolWork = { tool, passage, width_mm: width, take_um: take, points_mm };
  addWork(`${tool}, ${passage ? 'a passage' : 'a stroke'}`, { tool: done });
}

/** A new ground laid as the first, in `outline_mm` or over the whole plate. */
export function newGround(minutes: number, from_value: number, to_value: number, outline_mm: Corner[]): LaterGround {
  const { dust, bake, bath, seed } = plan.value;
  return { seed: (seed + shown()) % 2 ** 32, dust, bake, bath, outline_mm, bites: [{ bite_min: minutes, from_value, to_value }] };
}

export const USUAL_EDITION: Edition = {
  impressions: 30, steel_faced: false, paper_reflectance: 0.85, sheet_width_mm: 760, sheet_height_mm: 560, minutes_each: 25,
};

export function setEdition(what: string, next: Edition | null): void {
  const { edition: _, ...rest } = plan.value;
  change(what, next ? { ...rest, edition: next } : rest);
}
