import { effect, signal } from '@preact/signals';
import type { Edition, State, Tool, ToolInfo, ToolWork, Work } from '../../engine/protocol.ts';
import { catalogue, limitsOf, toStep } from '../../store/catalogue.ts';
import { pool } from '../../engine/scheduler.ts';
import { edit } from '../../store/edits.ts';
import { openStep } from '../../store/place.ts';
import { allSteps } from '../../store/settings.ts';
import { drawing, state } from '../../store/viewState.ts';
import { change, plan } from '../../store/plan.ts';

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
const take_um = signal(1);
/** How far the hammer raises at most, µm; null until one has set it. */
const lift_um = signal<number | null>(null);
/** The passage that is asked about. */
export const outline = signal<Corner[]>([]);

/** What is known of a tool, once the catalogue is there. */
export function infoOf(tool: Held): ToolInfo | undefined {
  return catalogue.value?.tools.find((one) => one.tool === tool);
}

/** One hand: what draws areas and a tool are never held at once, and a tool is put down when its step is folded. */
effect(() => { if (drawing.value || !(openStep.value === 'states' || allSteps.value)) held.value = null; });

/** How far a tool goes, µm: what is counted in passes is the same for all such tools. */
export function takeOf(tool: Tool): number {
  const info = infoOf(tool);
  return info && info.pass === null ? lift_um.value ?? info.take_um : take_um.value;
}

export function setTake(tool: Tool, um: number): void {
  (infoOf(tool)?.pass === null ? lift_um : take_um).value = um;
}

/** How far work that is not counted in passes goes, in words. */
export function levelWords(take: number): string {
  return take < limitsOf('tool.take_um').max ? `up by ${take}\u00a0µm at most` : 'until the face is level';
}

export function takeUp(tool: Held | null): void {
  drawing.value = false;
  held.value = held.value === tool ? null : tool;
  const info = held.value && infoOf(held.value);
  if (info) width_mm.value = info.width_mm;
}

export function states(): State[] {
  return plan.value.states ?? [];
}

/** Number of the state looked at: 1 is the first proof. */
export function shown(): number {
  const last = states().length + 1;
  return state.value === 0 ? last : Math.min(state.value, last);
}

/** A new state that goes on from number `from`. */
export function branch(from: number): void {
  void edit(`a new state from state ${from}`, (of) => pool.ask('add_state', of, from));
}

/** Work in the state looked at; after the first proof that begins a new state. */
export function addWork(what: string, work: Work): void {
  void edit(what, (of) => pool.ask('add_work', of, shown(), work));
}

/** A new ground laid as the first, in `outline_mm` or over the whole plate, with its first bite open to the darkest value, however many there are. */
export function addGround(bite_min: number, from_value: number, outline_mm: Corner[]): void {
  void edit('a new ground', (of) => pool.ask('add_ground', of, shown(), { bite_min, from_value, to_value: limitsOf('bites').max }, outline_mm));
}

/** Takes out a piece of work, counted from 0, of the state looked at. */
export function takeOutWork(index: number): void {
  const at = shown();
  void edit('a piece of work removed', (of) => pool.ask('remove_work', of, at, index + 1));
}

/** Changes the state looked at, but for the state it goes on from. */
function setState(what: string, next: (of: State) => State): void {
  const at = shown();
  state.value = at;
  change(what, { ...plan.value, states: states().map((one, i) => (i === at - 2 ? next(one) : one)) });
}

export function changeWork(what: string, index: number, next: Work): void {
  setState(what, (of) => ({ ...of, work: of.work.map((work, i) => (i === index ? next : work)) }));
}

export function rename(name: string): void {
  setState(`name of state ${shown()}`, (of) => ({ ...of, name }));
}

/** Takes a state out, with all that go on from it. */
export function takeOut(number: number): void {
  void edit(`state ${number} removed`, (of) => pool.ask('remove_state', of, number));
}

/** What a drawn path becomes: a stroke, a worked passage, or an outline to ask about. `press` is 1 for a usual hand. */
export function drawn(path: Corner[], press: number): void {
  const tool = held.value;
  if (!tool || !path.length) return;
  const passage = tool === 'outline' || asPassage.value;
  // A tap outlines nothing.
  if (passage && path.length < 3) return;
  if (tool === 'outline') {
    outline.value = path;
    return;
  }
  const take = toStep(limitsOf('tool.take_um'), takeOf(tool) * press);
  work(tool, passage, take, passage ? Math.min(width_mm.value, 4) : width_mm.value, path);
}

export function work(tool: Tool, passage: boolean, take: number, width: number, points_mm: Corner[]): void {
  const done: ToolWork = { tool, passage, width_mm: width, take_um: take, points_mm };
  addWork(`${infoOf(tool)?.name ?? tool}, ${passage ? 'a passage' : 'a stroke'}`, { tool: done });
}

/** Plans an edition as usual. */
export function planEdition(): void {
  void edit('an edition', (of) => pool.ask('plan_edition', of));
}

export function setEdition(what: string, next: Edition | null): void {
  const { edition: _, ...rest } = plan.value;
  change(what, next ? { ...rest, edition: next } : rest);
}
