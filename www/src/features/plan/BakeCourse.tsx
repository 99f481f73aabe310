import { conversion } from '../../store/settings.ts';
import { summary } from '../../store/results.ts';
import { Plot } from '../../ui/Plot.tsx';
import { FRAME, linear, path, ticks } from '../../ui/ticks.ts';

/** Temperature of the copper through the bake, with the softening point of the rosin. */
export function BakeCourse() {
  const bake = summary.value?.bake;
  if (!bake || bake.course_min.length < 2) return null;
  const degrees = conversion('°C', 0);
  const course = bake.course_c.map(degrees.to);
  const soft = degrees.to(bake.softening_c);
  const end = bake.course_min.at(-1) ?? 1;
  const low = Math.min(...course);
  const high = Math.max(soft, ...course);
  const x = linear(0, end, FRAME.left, FRAME.width - FRAME.right);
  const y = linear(low - 5, high + 8, FRAME.height - FRAME.bottom, FRAME.top);
  return (
    <Plot title="Temperature of the plate through the bake" x={x} y={y} xTicks={ticks(0, end, 5)} yTicks={ticks(low, high, 4)}
      xName="minutes on the hot plate" yName={degrees.unit}
      description={`The copper ends at ${degrees.to(bake.plate_end_c).toFixed(0)} ${degrees.unit}; rosin softens at ${soft.toFixed(0)} ${degrees.unit}.`}>
      <line class="plot-mark" x1={FRAME.left} x2={FRAME.width - FRAME.right} y1={y(soft)} y2={y(soft)} />
      <text class="plot-note" x={FRAME.width - FRAME.right} y={y(soft) - 4} text-anchor="end">rosin softens</text>
      <path class="plot-line" d={path(bake.course_min, course, x, y)} />
    </Plot>
  );
}
