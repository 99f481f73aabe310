import { signal } from '@preact/signals';
import type { Area, AreaShape } from '../../engine/protocol.ts';
import { limitsOf, toStep } from '../../store/catalogue.ts';
import { pool } from '../../engine/scheduler.ts';
import { edit } from '../../store/edits.ts';
import { change, endStroke, plan, withAreas } from '../../store/plan.ts';

export type Tool = 'brush' | 'outline' | 'curve' | 'fill' | 'direction';

export const tool = signal<Tool>('brush');
export const away = signal(false);
export const brushMm = signal(4);
/** Place of the area in hand; the next stroke begins a new one when there is none. */
export const inHand = signal<number | null>(null);
/** What a new area does. */
export const fresh = signal<Pick<Area, 'work' | 'value' | 'to_value' | 'feather_mm' | 'spit_min'>>({
  work: 'hold', value: 0, to_value: 0, feather_mm: 0, spit_min: 2,
});

export const areas = (): Area[] => plan.value.areas ?? [];

/** The area in hand, if it is still there. */
export function areaInHand(): number | null {
  const at = inHand.value;
  return at !== null && at < areas().length ? at : null;
}

/** A place as areas keep it, mm. */
export const placed = (mm: number): number => toStep(limitsOf('areas.points_mm'), mm);

/** Adds shapes to the area in hand, or begins an area with them. */
export function draw(shapes: AreaShape[]): Promise<void> {
  if (!shapes.length) return Promise.resolve();
  const number = areas().length + 1;
  // The stroke before may still be beginning the area that this one belongs to.
  return edit(`area ${number} drawn`, (of) => {
    const list = areas();
    const at = areaInHand();
    endStroke();
    if (at !== null) {
      setEntries(at, 'drawn further', { shapes: [...list[at]?.shapes ?? [], ...shapes] });
      endStroke();
      return null;
    }
    if (list.length >= limitsOf('areas').max || shapes[0]?.away) return null;
    return pool.ask('add_area', of, list.length + 1, { name: '', ...fresh.value, shapes });
  }).then(() => {
    endStroke();
    if (inHand.value === null && areas().length === number) inHand.value = number - 1;
  });
}

/** Entries of an area that nothing else follows from. */
function setEntries(at: number, what: string, next: Partial<Area>): void {
  change(`area ${at + 1} ${what}`, { ...plan.value, ...withAreas(areas().map((area, i) => (i === at ? { ...area, ...next } : area))) });
}

export function setArea(at: number, what: string, next: Partial<Area>): void {
  if (!('work' in next)) { setEntries(at, what, next); return; }
  // Another work may need a direction, or none any more.
  void edit(`area ${at + 1} ${what}`, (of) => {
    const area = of.areas?.[at];
    return area ? pool.ask('change_area', of, at + 1, { ...area, ...next }) : null;
  });
}

export function takeOut(at: number): void {
  void edit(`area ${at + 1} removed`, (of) => pool.ask('remove_area', of, at + 1)).then(endStroke);
  inHand.value = null;
}

export function move(at: number, by: number): void {
  void edit('order of the areas', (of) => pool.ask('move_area', of, at + 1, at + by + 1)).then(endStroke);
  inHand.value = at + by;
}

/** A freehand line with as few points as keep the others within `mm` of it. */
export async function thinned(points: [number, number][], mm: number): Promise<[number, number][]> {
  const flat = await pool.ask('thinned', Float64Array.from(points.flat()), mm);
  return Array.from({ length: flat.length / 2 }, (_, i) => [flat[2 * i] ?? 0, flat[2 * i + 1] ?? 0]);
}

/** A shape from places in mm. */
export function shapeOf(kind: AreaShape['kind'], points: [number, number][], takesAway = away.value): AreaShape {
  return { kind, away: takesAway, brush_mm: kind === 'brush' ? brushMm.value : 0, points_mm: points.flatMap(([x, y]) => [placed(x), placed(y)]) };
}

/** What an area does, in a few words. */
export function workWords(area: Pick<Area, 'work' | 'value' | 'to_value' | 'spit_min'>): string {
  switch (area.work) {
    case 'hold': return area.value ? `held at value ${area.value}` : 'kept white';
    case 'picture': return 'as in the picture';
    case 'split': return `value ${area.value} to ${area.to_value}`;
    case 'spit': return `spit-bite, ${area.spit_min} min`;
  }
}
