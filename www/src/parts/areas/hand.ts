import { signal } from '@preact/signals';
import type { Area, AreaShape } from '../../engine/protocol';
import { pool } from '../../state/scheduler';
import { edit } from '../../state/edits';
import { change, endStroke, plan, withAreas } from '../../state/plan';

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

/** As many areas as a plan holds. */
const MOST_AREAS = 60;

export const areas = (): Area[] => plan.value.areas ?? [];

/** The area in hand, if it is still there. */
export function areaInHand(): number | null {
  const at = inHand.value;
  return at !== null && at < areas().length ? at : null;
}

/** Places are whole twentieths of a millimetre. */
export const placed = (mm: number): number => Math.round(Math.min(1200, Math.max(-100, mm)) * 20) / 20;

/** Adds shapes to the area in hand, or begins an area with them. */
export function draw(shapes: AreaShape[]): void {
  if (!shapes.length) return;
  const number = areas().length + 1;
  // The stroke before may still be beginning the area that this one belongs to.
  void edit(`area ${number} drawn`, (of) => {
    const list = areas();
    const at = areaInHand();
    endStroke();
    if (at !== null) {
      setEntries(at, 'drawn further', { shapes: [...list[at]?.shapes ?? [], ...shapes] });
      endStroke();
      return null;
    }
    if (list.length >= MOST_AREAS || shapes[0]?.away) return null;
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
  void edit(`area ${at + 1} taken out`, (of) => pool.ask('remove_area', of, at + 1)).then(endStroke);
  inHand.value = null;
}

export function move(at: number, by: number): void {
  void edit('order of the areas', (of) => pool.ask('move_area', of, at + 1, at + by + 1)).then(endStroke);
  inHand.value = at + by;
}

/** Thins a freehand line out so that no point left out lies farther than `mm` off it (Douglas & Peucker). */
export function thinned(points: [number, number][], mm: number): [number, number][] {
  const keep = new Set([0, points.length - 1]);
  const open: [number, number][] = [[0, points.length - 1]];
  for (let span = open.pop(); span; span = open.pop()) {
    const [from, until] = span;
    const [a, b] = [points[from], points[until]];
    if (!a || !b) continue;
    const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
    let worst = mm;
    let at = -1;
    for (let i = from + 1; i < until; i++) {
      const p = points[i];
      if (!p) continue;
      const along = length > 0 ? Math.min(1, Math.max(0, ((p[0] - a[0]) * (b[0] - a[0]) + (p[1] - a[1]) * (b[1] - a[1])) / length ** 2)) : 0;
      const off = Math.hypot(p[0] - a[0] - along * (b[0] - a[0]), p[1] - a[1] - along * (b[1] - a[1]));
      if (off > worst) { worst = off; at = i; }
    }
    if (at >= 0) { keep.add(at); open.push([from, at], [at, until]); }
  }
  return points.filter((_, i) => keep.has(i));
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
