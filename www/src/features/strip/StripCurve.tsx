import type { SampleNumbers } from '../../engine/protocol.ts';
import type { Patch, StripWork } from './strip.ts';
import { conversion, decimalsOf } from '../../store/settings.ts';
import { ownPlace } from './vary.ts';
import { Words } from '../../ui/ChoiceEntry.tsx';
import { Plot } from '../../ui/Plot.tsx';
import { FRAME, linear, path, smooth, ticks } from '../../ui/ticks.ts';

const TALL = { ...FRAME, height: 204, right: 44 };

export type Measure = 'lightness' | 'density' | 'cover' | 'grain' | 'depth' | 'ink';
/** What can be plotted; `least` is the narrowest range shown, so that trifles look like trifles. */
export const MEASURES: Record<Measure, { name: string; of: (numbers: SampleNumbers) => number; least: number; most?: number }> = {
  lightness: { name: 'L*', of: (n) => n.lightness, least: 20, most: 100 },
  density: { name: 'density', of: (n) => n.density, least: 0.4 },
  cover: { name: 'cover %', of: (n) => 100 * n.cover, least: 20, most: 100 },
  grain: { name: 'dome µm', of: (n) => n.median_footprint_um, least: 20 },
  depth: { name: 'depth µm', of: (n) => n.mean_depth_um, least: 2 },
  ink: { name: 'ink µm', of: (n) => n.held_um, least: 2 },
};

/** A range for an axis, in round numbers, that holds all heights. */
export function rangeOf(measure: Measure, heights: number[]): { low: number; high: number; marks: number[] } {
  const { least, most = Infinity } = MEASURES[measure];
  const known = heights.filter(Number.isFinite);
  const [bottom, top] = known.length ? [Math.min(...known), Math.max(...known)] : [0, least];
  const spare = Math.max(0, least - (top - bottom)) / 2;
  const wanted = { low: Math.max(0, bottom - spare), high: Math.min(most, top + spare) };
  const [first = 0, second = 1] = ticks(wanted.low, wanted.high + 1e-9, 4);
  const step = second - first;
  const low = Math.floor(wanted.low / step + 1e-9) * step;
  const high = Math.ceil(wanted.high / step - 1e-9) * step;
  return { low, high, marks: ticks(low, high, Math.round((high - low) / step)) };
}

interface Props {
  work: StripWork; chosen: number; onLook: (index: number) => void;
  measure: Measure; onMeasure: (measure: Measure) => void;
}

/** The curve through the patches, row by row, with the plan's own place marked. */
export function StripCurve({ work, chosen, onLook, measure, onMeasure }: Props) {
  const { columns, rows, patches } = work;
  const along = work.variable(columns[0]?.key);
  const field = along?.field;
  const { to: shown, unit } = field ? conversion(field.unit, decimalsOf(field.step)) : { to: (v: number) => v, unit: '' };
  // Choices stand side by side in no scale.
  const at = columns.map((step, c) => (field ? shown(Number(step.at)) : c));
  const { name, of } = MEASURES[measure];
  const heightOf = ({ numbers, wrong }: Patch): number => (numbers && wrong === null ? of(numbers) : NaN);
  const heights = patches.map(heightOf);
  const ownPatch = work.own ?? work.ownPatch;
  const ownHeight = ownPatch && work.settings.value !== null ? heightOf(ownPatch) : NaN;
  const tall = rangeOf(measure, [...heights, ownHeight]);
  const aside = field ? 0 : 0.5;
  const [low, high] = [Math.min(...at) - aside, Math.max(...at) + aside];
  const x = linear(low, high, TALL.left, TALL.width - TALL.right);
  const y = linear(tall.low, tall.high, TALL.height - TALL.bottom, TALL.top);
  const place = along ? ownPlace(work.base, along.key) : null;
  const mark = place === null ? NaN : field ? shown(Number(place)) : columns.findIndex((step) => step.at === place);
  const label = along?.label ?? '';
  return (
    <section class="strip-curve" aria-label="The curve through the patches">
      <div role="radiogroup" aria-label="What the curve shows">
        <Words name="strip-measure" options={(Object.keys(MEASURES) as Measure[]).map((key) => [key, MEASURES[key].name] as const)} chosen={measure}
          onChoose={(word) => onMeasure(word as Measure)} />
      </div>
      <Plot frame={TALL} class="plot-tall" title={`${name} against ${label.toLowerCase()}`} x={x} y={y} xTicks={field ? ticks(low, high, 5) : []} yTicks={tall.marks}
        xName={`${label.toLowerCase()}${unit ? `, ${unit}` : ''}`} yName={name}
        description={columns.map((step, c) => `${work.words(step)}: ${rows.map((_, r) => (heights[r * columns.length + c] ?? NaN).toFixed(1)).join(', ')}`).join('; ')}>
        {Number.isFinite(mark) && mark >= low && mark <= high && (
          <>
            <line class="plot-mark" x1={x(mark)} x2={x(mark)} y1={TALL.top} y2={TALL.height - TALL.bottom} />
            <text class="plot-note" x={x(mark) + (mark > (low + high) / 2 ? -4 : 4)} y={TALL.top + 10} text-anchor={mark > (low + high) / 2 ? 'end' : 'start'}>your plan</text>
          </>
        )}
        {!field && columns.map((step, c) => <text key={c} class="plot-note" x={x(c)} y={TALL.height - TALL.bottom + 14} text-anchor="middle">{work.words(step)}</text>)}
        {rows.map((row, r) => {
          const own = heights.slice(r * columns.length, (r + 1) * columns.length);
          const inHand = row === null || r === Math.floor(chosen / columns.length);
          return (
            <g key={r}>
              <path class={inHand ? 'plot-line' : 'plot-line strip-faint'} data-loose={!field} d={(field ? smooth : path)(at, own, x, y)} />
              {inHand && own.map((height, c) => Number.isFinite(height) && (
                // biome-ignore lint/a11y/noStaticElementInteractions: a shortcut for the pointer to what the table's buttons do
                <circle key={c} class={r * columns.length + c === chosen ? 'plot-bead' : 'strip-bead'} cx={x(at[c] ?? 0)} cy={y(height)} r={r * columns.length + c === chosen ? 5 : 3.5}
                  onClick={() => onLook(r * columns.length + c)} />
              ))}
            </g>
          );
        })}
        {rowLabels(work, heights, chosen, y).map(({ r, at: height }) => (
          <text key={r} class="plot-note" x={x(at.at(-1) ?? 0) + 6} y={height + 4}>{rows[r] && work.words(rows[r])}</text>
        ))}
        {work.own && Number.isFinite(ownHeight) && mark >= low && mark <= high && <circle class="strip-own" cx={x(mark)} cy={y(ownHeight)} r={4.5} />}
      </Plot>
    </section>
  );
}

/** Rows that can be named at the end of their curve without writing over each other: the chosen, the first, the last, others. */
export function rowLabels(work: StripWork, heights: number[], chosen: number, y: (v: number) => number, apart = 14): { r: number; at: number }[] {
  const { rows, columns } = work;
  if (rows[0] === null) return [];
  const all = rows.map((_, r) => ({ r, at: y(heights[(r + 1) * columns.length - 1] ?? NaN) })).filter((one) => Number.isFinite(one.at));
  const mine = Math.floor(chosen / columns.length);
  const order = [...all].sort((a, b) => rank(a.r) - rank(b.r));
  function rank(r: number): number { return r === mine ? 0 : r === 0 || r === rows.length - 1 ? 1 : 2; }
  const kept: typeof all = [];
  for (const one of order) if (kept.every((other) => Math.abs(other.at - one.at) >= apart)) kept.push(one);
  return kept;
}
