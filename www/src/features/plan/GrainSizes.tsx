import { summary } from '../../store/results.ts';
import { Plot } from '../../ui/Plot.tsx';
import { FRAME, linear, path, ratio, ratioTicks, ticks } from '../../ui/ticks.ts';

/** Landed weight by grain size, on an axis of equal ratios. */
export function GrainSizes() {
  const dust = summary.value?.dust;
  if (!dust || dust.size_um.length < 2) return null;
  const { size_um, weight_per_ln } = dust;
  const most = Math.max(...weight_per_ln);
  const heavy = size_um.filter((_, i) => (weight_per_ln[i] ?? 0) > most * 0.004);
  const from = Math.max(1, heavy[0] ?? 1);
  const to = Math.max(from * 2, heavy.at(-1) ?? 100);
  const floor = FRAME.height - FRAME.bottom;
  const x = ratio(from, to, FRAME.left, FRAME.width - FRAME.right);
  const y = linear(0, most || 1, floor, FRAME.top);
  const inside = size_um.map((size) => (size >= from && size <= to ? size : NaN));
  const peak = size_um[weight_per_ln.indexOf(most)] ?? 0;
  const line = path(inside, weight_per_ln, x, y);
  return (
    <Plot title="Grains that landed, by size" x={x} y={y} xTicks={ratioTicks(from, to)} yTicks={ticks(0, most, 3)}
      xName="loose grain, µm" yName="amount"
      description={`Most of the weight is in grains near ${peak.toFixed(0)} µm; sizes from ${from.toFixed(0)} to ${to.toFixed(0)} µm reached the plate.`}>
      <path class="plot-area" d={`${line}L${x(to)} ${floor}L${x(from)} ${floor}Z`} />
      <path class="plot-line" d={line} />
    </Plot>
  );
}
