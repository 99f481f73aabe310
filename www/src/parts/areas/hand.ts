import { signal } from '@preact/signals';
import type { Area, AreaShape } from '../../reckon/protocol';
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

function put(what: string, next: Area[]): void {
  const { areas: before, ...bare } = plan.value;
  void before;
  change(what, { ...bare, ...withAreas(next) });
  endStroke();
}

/** From left to right across what is drawn. */
export function acrossShapes(shapes: AreaShape[]): number[] {
  const xs = shapes.flatMap(({ points_mm }) => points_mm.filter((_, i) => i % 2 === 0));
  const ys = shapes.flatMap(({ points_mm }) => points_mm.filter((_, i) => i % 2 === 1));
  const middle = placed((Math.min(...ys) + Math.max(...ys)) / 2);
  const [left, right] = [Math.min(...xs), Math.max(...xs)];
  return [left, middle, right > left ? right : left + 1, middle];
}

/** Adds shapes to the area in hand, or begins an area with them. */
export function draw(shapes: AreaShape[]): void {
  if (!shapes.length) return;
  const list = areas();
  const at = areaInHand();
  if (at === null) {
    if (list.length >= MOST_AREAS || shapes[0]?.away) return;
    const { work, ...rest } = fresh.value;
    put(`area ${list.length + 1} drawn`, [...list, { name: '', work, ...rest, ...(work === 'split' ? { axis_mm: acrossShapes(shapes) } : {}), shapes }]);
    inHand.value = list.length;
  } else {
    put(`area ${at + 1} drawn further`, list.map((area, i) => (i === at ? { ...area, shapes: [...area.shapes, ...shapes] } : area)));
  }
}

export function setArea(at: number, what: string, next: Partial<Area>): void {
  const list = areas().map((area, i) => {
    if (i !== at) return area;
    const { axis_mm, ...changed } = { ...area, ...next };
    return changed.work === 'split' ? { ...changed, axis_mm: axis_mm ?? acrossShapes(area.shapes) } : changed;
  });
  change(`area ${at + 1} ${what}`, { ...plan.value, ...withAreas(list) });
}

export function takeOut(at: number): void {
  put(`area ${at + 1} taken out`, areas().filter((_, i) => i !== at));
  inHand.value = null;
}

export function move(at: number, by: number): void {
  const list = [...areas()];
  const [one] = list.splice(at, 1);
  if (!one) return;
  list.splice(at + by, 0, one);
  put('order of the areas', list);
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
