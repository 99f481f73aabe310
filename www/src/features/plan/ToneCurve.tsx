import type { Summary } from '../../engine/protocol.ts';
import { limitsOf, toQuarter } from '../../store/catalogue.ts';
import { setBite, usePlan } from '../../store/plan.ts';
import { stale, summary } from '../../store/results.ts';
import { Plot } from '../../ui/Plot.tsx';
import { useDrag } from '../../ui/pointer.ts';
import { along, FRAME, linear, path, ticks } from '../../ui/ticks.ts';

const TALL = { ...FRAME, height: 204 };

/** L* of this ground against minutes in this bath, the bites marked on it; each can be drawn along. */
export function ToneCurve() {
  const now = summary.value;
  return now && now.curve.minutes.length > 1 ? <Curve now={now} /> : null;
}

/** The bite whose handle is held, and the minutes before it. */
interface Held { bite: number; from: number }

function Curve({ now }: { now: Summary }) {
  const bites = usePlan((plan) => plan.bites).map((bite) => bite.bite_min);
  const { minutes, lightness, darkest_min } = now.curve;
  const starts = bites.map((_, i) => bites.slice(0, i).reduce((sum, minute) => sum + minute, 0));
  const total = (starts.at(-1) ?? 0) + (bites.at(-1) ?? 0);
  const end = Math.min(minutes.at(-1) ?? 60, Math.max(total * 1.2, (darkest_min ?? 0) * 1.15, 10));
  const x = linear(0, end, TALL.left, TALL.width - TALL.right);
  const y = linear(0, 100, TALL.height - TALL.bottom, TALL.top);
  const shown = minutes.map((minute) => (minute <= end ? minute : NaN));

  const { min, max, step } = limitsOf('bites.bite_min');
  const grip = useDrag<Held>({
    move: ({ bite, from }, event) => {
      const box = (event.currentTarget as SVGGElement).ownerSVGElement?.getBoundingClientRect();
      if (box) setBite(bite, toQuarter(x.back(((event.clientX - box.left) / box.width) * TALL.width) - from));
    },
  });
  const key = (bite: number, event: KeyboardEvent): void => {
    const by = { ArrowRight: step, ArrowUp: step, ArrowLeft: -step, ArrowDown: -step, PageUp: 1, PageDown: -1 }[event.key];
    if (by === undefined) return;
    event.preventDefault();
    setBite(bite, toQuarter((bites[bite] ?? 0) + by));
  };

  return (
    <Plot live frame={TALL} class="plot-tall" title={now.later_grounds > 0 ? 'Tone curve of the first ground' : 'Tone curve of this ground'} x={x} y={y}
      xTicks={ticks(0, end, 6)} yTicks={[0, 20, 40, 60, 80, 100]}
      xName="minutes in the bath, all bites together" yName="L*"
      description={`The print darkens with minutes in the bath${darkest_min === null ? '; this bath never gets to the darkest this ground can print'
        : ` until about ${darkest_min.toFixed(0)} minutes, L* ${along(minutes, lightness, darkest_min).toFixed(0)}; beyond that the ground breaks down and it lightens`}. Each value is a handle: arrow keys change its bite by a quarter minute.`}>
      {darkest_min !== null && (
        <>
          <line class="plot-mark" x1={x(Math.min(end, darkest_min))} x2={x(Math.min(end, darkest_min))} y1={y(along(minutes, lightness, darkest_min)) - 6} y2={TALL.height - TALL.bottom} />
          <text class="plot-note" x={x(Math.min(end, darkest_min)) - 4} y={TALL.height - TALL.bottom - 5} text-anchor="end">darkest</text>
        </>
      )}
      <path class="plot-line" d={path(shown, lightness, x, y)} />
      {bites.map((own, i) => {
        const cumulative = (starts[i] ?? 0) + own;
        if (cumulative > end) return null;
        const value = now.values[i + 1];
        // Tones that later bites have a part in do not lie on the first ground's curve.
        const tone = value && !stale.value && now.later_grounds === 0 && Math.abs(value.cumulative_min - cumulative) < 0.01 ? value.lightness : along(minutes, lightness, cumulative);
        return (
          <g key={i} class="plot-handle" role="slider" tabindex={0} aria-label={`Bite ${i + 1}`} aria-orientation="horizontal"
            aria-valuemin={min} aria-valuemax={max} aria-valuenow={own}
            aria-valuetext={`${own} minutes, ${cumulative} in all, L* ${tone.toFixed(0)}`}
            onKeyDown={(event) => key(i, event)}
            {...grip((event) => { (event.currentTarget as SVGGElement).focus(); return { bite: i, from: starts[i] ?? 0 }; })}>
            <circle class="plot-grip" cx={x(cumulative)} cy={y(tone)} r={14} />
            <circle class="plot-bead" cx={x(cumulative)} cy={y(tone)} r={4.5} />
            <text class="plot-note" x={x(cumulative)} y={y(tone) - 9} text-anchor="middle">{i + 1}</text>
          </g>
        );
      })}
    </Plot>
  );
}
