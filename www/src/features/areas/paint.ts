import type { Area, AreaShape } from '../../engine/protocol.ts';

/** Traces of shapes in mm, made once for each. */
const traces = new WeakMap<AreaShape, Path2D>();

/** A closed smooth curve through the points, the same that the plate is reckoned with (Catmull & Rom). */
function curve(path: Path2D, points: [number, number][]): void {
  const count = points.length;
  const at = (i: number): [number, number] => points[(i + count) % count] ?? [0, 0];
  path.moveTo(...at(0));
  for (let i = 0; i < count; i++) {
    const [before, from, to, after] = [at(i - 1), at(i), at(i + 1), at(i + 2)];
    path.bezierCurveTo(
      from[0] + (to[0] - before[0]) / 6, from[1] + (to[1] - before[1]) / 6,
      to[0] - (after[0] - from[0]) / 6, to[1] - (after[1] - from[1]) / 6, to[0], to[1],
    );
  }
  path.closePath();
}

export function pairs(points_mm: number[]): [number, number][] {
  return Array.from({ length: points_mm.length >> 1 }, (_, i) => [points_mm[2 * i] ?? 0, points_mm[2 * i + 1] ?? 0]);
}

export function traceOf(shape: AreaShape): Path2D {
  const known = traces.get(shape);
  if (known) return known;
  const path = new Path2D();
  const points = pairs(shape.points_mm);
  if (shape.kind === 'curve') curve(path, points);
  else {
    points.forEach(([x, y], i) => { if (i) path.lineTo(x, y); else path.moveTo(x, y); });
    if (shape.kind === 'outline') path.closePath();
    else if (points.length === 1 && points[0]) path.lineTo(points[0][0] + 1e-4, points[0][1]);
  }
  traces.set(shape, path);
  return path;
}

/** Lays one shape on a context in mm: the area's colour, or nothing where it takes away. */
export function lay(context: CanvasRenderingContext2D, shape: AreaShape, colour: string): void {
  context.globalCompositeOperation = shape.away ? 'destination-out' : 'source-over';
  context.fillStyle = context.strokeStyle = shape.away ? '#000' : colour;
  if (shape.kind === 'brush') {
    context.lineWidth = shape.brush_mm;
    context.lineCap = context.lineJoin = 'round';
    context.stroke(traceOf(shape));
  } else {
    context.fill(traceOf(shape), 'nonzero');
  }
  context.globalCompositeOperation = 'source-over';
}

/** The direction of a split area: a line with its start marked. */
export function layAxis(context: CanvasRenderingContext2D, area: Area, px: number, colour: string): void {
  const [x0, y0, x1, y1] = area.axis_mm ?? [];
  if (x0 === undefined || y0 === undefined || x1 === undefined || y1 === undefined) return;
  context.strokeStyle = context.fillStyle = colour;
  context.lineWidth = 2 * px;
  context.beginPath();
  context.moveTo(x0, y0);
  context.lineTo(x1, y1);
  context.stroke();
  context.beginPath();
  context.arc(x0, y0, 5 * px, 0, 7);
  context.fill();
}
