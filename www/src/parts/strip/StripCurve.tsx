import { useState } from 'preact/hooks';
import type { Plan, SampleNumbers } from '../../reckon/protocol';
import type { StripWork } from '../../state/strip';
import { conversion, decimalsOf } from '../../state/settings';
import { ownPlace, stepWords, variable } from '../../state/vary';
import { Words } from '../plan/ChoiceEntry';
import { Plot } from '../plots/Plot';
import { FRAME, linear, path, ticks } from '../plots/ticks';

const TALL = { ...FRAME, height: 204, right: 30 };

type Measure = 'lightness' | 'density' | 'cover' | 'depth' | 'ink';
const MEASURES: Record<Measure, { name: string; of: (numbers: SampleNumbers) => number; from: number; to?: number }> = {
  lightness: { name: 'L*', of: (n) => n.lightness, from: 0, to: 100 },
  density: { name: 'density', of: (n) => n.density, from: 0 },
  cover: { name: 'cover %', of: (n) => 100 * n.cover, from: 0, to: 100 },
  depth: { name: 'depth µm', of: (n) => n.mean_depth_um, from: 0 },
  ink: { name: 'ink µm', of: (n) => n.held_um, from: 0 },
};

interface Props { work: StripWork; base: Plan; chosen: number; onLook: (index: number) => void }

/** The curve through the patches, row by row, with the plan's own place marked. */
export function StripCurve({ work, base, chosen, onLook }: Props) {
  const [measure, setMeasure] = useState<Measure>('lightness');
  const { columns, rows, patches } = work;
  const field = variable(base, columns[0]?.key ?? '')?.field;
  if (!field) return null;
  const { to: shown, unit } = conversion(field.unit, decimalsOf(field.step));
  const at = columns.map((step) => shown(Number(step.at)));
  const { name, of, from, to } = MEASURES[measure];
  const heights = patches.map(({ numbers }) => (numbers ? of(numbers) : NaN));
  const most = to ?? Math.max(0.5, ...heights.filter(Number.isFinite)) * 1.08;
  const [low, high] = [Math.min(...at), Math.max(...at)];
  const x = linear(low, high, TALL.left, TALL.width - TALL.right);
  const y = linear(from, most, TALL.height - TALL.bottom, TALL.top);
  const own = Number(ownPlace(base, columns[0]?.key ?? '') ?? NaN);
  const mark = shown(own);
  const label = variable(base, columns[0]?.key ?? '')?.label ?? '';
  return (
    <section class="strip-curve" aria-label="The curve through the patches">
      <div role="radiogroup" aria-label="What the curve shows">
        <Words name="strip-measure" options={(Object.keys(MEASURES) as Measure[]).map((key) => [key, MEASURES[key].name] as const)} chosen={measure}
          onChoose={(word) => setMeasure(word as Measure)} />
      </div>
      <Plot frame={TALL} class="plot-tall" title={`${name} against ${label.toLowerCase()}`} x={x} y={y} xTicks={ticks(low, high, 5)} yTicks={ticks(from, most, 5)}
        xName={`${label.toLowerCase()}${unit ? `, ${unit}` : ''}`} yName={name}
        description={columns.map((step, c) => `${stepWords(base, step)}: ${rows.map((_, r) => (heights[r * columns.length + c] ?? NaN).toFixed(1)).join(', ')}`).join('; ')}>
        {Number.isFinite(mark) && mark >= low && mark <= high && (
          <>
            <line class="plot-mark" x1={x(mark)} x2={x(mark)} y1={TALL.top} y2={TALL.height - TALL.bottom} />
            <text class="plot-note" x={x(mark) + 4} y={TALL.top + 10}>your plan</text>
          </>
        )}
        {rows.map((row, r) => {
          const own = heights.slice(r * columns.length, (r + 1) * columns.length);
          return (
            <g key={r}>
              <path class="plot-line" d={path(at, own, x, y)} />
              {row && Number.isFinite(own.at(-1)) && <text class="plot-note" x={x(at.at(-1) ?? 0) + 5} y={y(own.at(-1) ?? 0) + 4}>{stepWords(base, row)}</text>}
              {own.map((height, c) => Number.isFinite(height) && (
                <circle key={c} class={r * columns.length + c === chosen ? 'plot-bead' : 'strip-bead'} cx={x(at[c] ?? 0)} cy={y(height)} r={r * columns.length + c === chosen ? 5 : 3.5}
                  onClick={() => onLook(r * columns.length + c)} />
              ))}
            </g>
          );
        })}
      </Plot>
    </section>
  );
}
