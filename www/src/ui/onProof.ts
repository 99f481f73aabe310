import { view } from './sheetView.ts';

/* What everything that lies over the proof and is drawn with has in common. */

/** Steps of the arrow keys, mm: plain, with Shift, with Alt. */
const KEY_MM = [1, 10, 0.1] as const;
const ARROWS: Record<string, [number, number]> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

/** How far an arrow key moves a place on the proof, mm; null for any other key. */
export function movedByKey({ key, shiftKey, altKey }: KeyboardEvent): [number, number] | null {
  const way = ARROWS[key];
  const step = KEY_MM[shiftKey ? 1 : altKey ? 2 : 0];
  return way ? [way[0] * step, way[1] * step] : null;
}

/** The place on the print, mm, at css pixels from the top left of a frame of this size. */
export function placeMm({ x: px, y: py }: { x: number; y: number }, width: number, height: number): [number, number] {
  const { scale, x, y } = view.peek();
  return [(x + (px - width / 2) / scale) / 1000, (y + (py - height / 2) / scale) / 1000];
}
