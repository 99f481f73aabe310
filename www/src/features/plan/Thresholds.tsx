import { setThreshold, usePlan } from '../../store/plan.ts';
import { summary } from '../../store/results.ts';
import { tonedHistogram } from '../../store/toning.ts';
import { useDrag } from '../../ui/pointer.ts';
import { linear } from '../../ui/ticks.ts';

const WIDTH = 320;
const HEIGHT = 120;
const FLOOR = 78;
const EDGE = 6;
/** Least room for a number beside another. */
const APART = 17;

/** The picture's tones from light to dark, with a movable mark where each value begins. */
export function Thresholds() {
  const histogram = tonedHistogram.value;
  const levels = usePlan((plan) => plan.picture.thresholds_l);
  const values = summary.value?.values ?? [];
  const x = linear(100, 0, EDGE, WIDTH - EDGE);
  const most = Math.max(1, ...histogram);
  const tall = (count: number): number => FLOOR - 6 - Math.sqrt(count / most) * (FLOOR - 14);
  const outline = histogram.map((count, l) => `L${x(l).toFixed(1)} ${tall(count).toFixed(1)}`).join('');
  const edges = [100, ...levels, 0];
  // Numbers that would stand in each other's way are left out; each mark still says its own.
  const spoken: number[] = [];
  for (const [i, level] of levels.entries()) {
    const before = levels[spoken.at(-1) ?? -1];
    if (before === undefined || x(level) - x(before) >= APART) spoken.push(i);
  }

  const grip = useDrag<number>({
    move: (index, event) => {
      const box = (event.currentTarget as SVGGElement).ownerSVGElement?.getBoundingClientRect();
      if (box) setThreshold(index, x.back(((event.clientX - box.left) / box.width) * WIDTH));
    },
  });
  const key = (index: number, event: KeyboardEvent): void => {
    // To the right is darker, as it is drawn.
    const by = { ArrowRight: -0.5, ArrowDown: -0.5, ArrowLeft: 0.5, ArrowUp: 0.5, PageUp: 5, PageDown: -5 }[event.key];
    if (by === undefined) return;
    event.preventDefault();
    setThreshold(index, (levels[index] ?? 0) + by);
  };

  return (
    <>
    <p class="paper-only">{levels.length > 1 ? `Values 1 to ${levels.length} begin` : 'Value 1 begins'} where the picture is darker than L* {levels.join(', ')}.</p>
      <svg class="plot thresholds" viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="group" aria-label="Tones of the picture from light to dark, and the lightness at which each value begins">
      {histogram.length > 0 && <path class="plot-area" aria-hidden="true" d={`M${x(0)} ${FLOOR - 6}${outline}L${x(100)} ${FLOOR - 6}Z`} />}
      <g aria-hidden="true">
        {edges.slice(0, -1).map((from, i) => {
          const to = edges[i + 1] ?? 0;
          const tone = values[i]?.srgb ?? Math.round(255 * (1 - i / edges.length));
          return <rect key={i} class="tone-strip" x={x(from)} width={Math.max(0, x(to) - x(from))} y={FLOOR - 4} height={16} fill={`rgb(${tone},${tone},${tone})`} />;
        })}
        <text class="plot-name" x={EDGE} y={HEIGHT - 3}>light</text>
        <text class="plot-name" x={WIDTH - EDGE} y={HEIGHT - 3} text-anchor="end">dark</text>
      </g>
      {levels.map((level, i) => (
        <g key={i} class="plot-handle" role="slider" tabindex={0} aria-label={`Value ${i + 1} begins at`} aria-orientation="horizontal"
          aria-valuemin={0} aria-valuemax={100} aria-valuenow={level} aria-valuetext={`L* ${level}`}
          onKeyDown={(event) => key(i, event)}
          {...grip((event) => { (event.currentTarget as SVGGElement).focus(); return i; })}>
          <rect class="plot-grip" x={x(level) - 14} width={28} y={4} height={FLOOR + 26} />
          <line class="plot-stem" x1={x(level)} x2={x(level)} y1={10} y2={FLOOR + 14} />
          {spoken.includes(i) && <text class="plot-note" x={x(level)} y={FLOOR + 25} text-anchor="middle">{Math.round(level)}</text>}
        </g>
      ))}
    </svg>
    </>
  );
}
