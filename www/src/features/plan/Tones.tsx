import { useRef } from 'preact/hooks';
import type { TonePoint } from '../../engine/protocol.ts';
import { askReader } from '../../engine/reader.ts';
import { limitsOf } from '../../store/catalogue.ts';
import { picture } from '../../store/picture.ts';
import { change, endStroke, plan, setTonePoints, usePlan, withOwnTones } from '../../store/plan.ts';
import { changesTones, toned, tonedHistogram } from '../../store/toning.ts';
import { Plot } from '../../ui/Plot.tsx';
import { useDrag } from '../../ui/pointer.ts';
import { Said } from '../../ui/Said.tsx';
import { FRAME, linear, path } from '../../ui/ticks.ts';
import { Entries } from './Section.tsx';

export const TONE_ENTRIES = ['picture.exposure_stops', 'picture.contrast'];

const SQUARE = { ...FRAME, height: 260 };
const TICKS = [0, 25, 50, 75, 100];
const ENDS: TonePoint[] = [{ from_l: 0, to_l: 0 }, { from_l: 100, to_l: 100 }];
const x = linear(0, 100, SQUARE.left, SQUARE.width - SQUARE.right);
const y = linear(0, 100, SQUARE.height - SQUARE.bottom, SQUARE.top);

const half = (l: number): number => Math.round(l * 2) / 2;
const between = (least: number, at: number, most: number): number => Math.min(Math.max(at, least), most);

/** What is done to the picture's tones before they part into values: exposure, contrast, and a curve. */
export function Tones() {
  const points = usePlan((plan) => plan.picture.tone_points) ?? [];
  return (
    <>
      <p class="section-why">For pictures that are too dark, too pale or too flat for the values there are. The file stays as it is; plan and link keep what is done.</p>
      <Entries part="plate" only={TONE_ENTRIES} />
      <div data-field="picture.tone_points">
        <Curve points={points} />
        <Said field="picture.tone_points" />
        {points.flatMap((_, i) => ['from_l', 'to_l'].map((end) => <Said key={`${i}${end}`} field={`picture.tone_points.${i}.${end}`} />))}
      </div>
      <p class="acts">
        <button type="button" class="act" onClick={() => void spread(false)}>Use the whole range</button>
        <button type="button" class="act" onClick={() => void spread(true)}>Spread the tones</button>
        {points.length < limitsOf('picture.tone_points').max && <button type="button" class="act" onClick={() => addPoint(points)}>Add a point</button>}
        {changesTones.value && <button type="button" class="act" onClick={() => change('the picture’s own tones', withOwnTones(plan.value))}>Leave the picture as it is</button>}
      </p>
    </>
  );
}

/** Has the Rust find a curve for the picture as exposure and contrast leave it. */
async function spread(evened: boolean): Promise<void> {
  const { tone_points: _, ...straight } = plan.value.picture;
  const { histogram } = await askReader('toned', straight, Uint32Array.from(picture.value.histogram));
  const points = await askReader('whole_range', Uint32Array.from(histogram), evened);
  endStroke();
  setTonePoints(evened ? 'tones spread' : 'tones over the whole range', points);
}

/** A further point in the middle of the widest gap, on the curve that is there. */
function addPoint(points: TonePoint[]): void {
  const all = withEnds(points);
  const gaps = all.slice(1).map((one, i) => one.from_l - (all[i]?.from_l ?? 0));
  const at = gaps.indexOf(Math.max(...gaps));
  const [left, right] = [all[at], all[at + 1]];
  if (!left || !right) return;
  const middle = half((left.from_l + right.from_l) / 2);
  putPoint(points, { from_l: middle, to_l: half((left.to_l + right.to_l) / 2) });
}

function putPoint(points: TonePoint[], point: TonePoint): void {
  setTonePoints('a point of the curve', [...points, point].sort((a, b) => a.from_l - b.from_l));
}

function withEnds(points: TonePoint[]): TonePoint[] {
  const inside = ENDS.filter((end) => !points.some((one) => one.from_l === end.from_l));
  return [...inside, ...points].sort((a, b) => a.from_l - b.from_l);
}

interface Held { index: number }

function Curve({ points }: { points: TonePoint[] }) {
  const step = limitsOf('picture.tone_points.from_l').step;
  const counts = tonedHistogram.value;
  const most = Math.sqrt(Math.max(1, ...counts));
  const floor = SQUARE.height - SQUARE.bottom;
  const shape = counts.map((count, l) => `L${x(l).toFixed(1)} ${(floor - (Math.sqrt(count / most ** 2)) * 60).toFixed(1)}`).join('');
  const straight = points.length === 0;
  const curve = toned.value?.curve_l ?? Array.from({ length: 101 }, (_, l) => l);
  const before = usePlan(({ picture: { exposure_stops, contrast } }) => (exposure_stops !== 0 || contrast !== 1 ? 'L* after exposure and contrast' : 'L* of the picture'));
  const moving = useRef(points);
  moving.current = points;

  const move = (index: number, from: number, to: number): void => {
    const now = moving.current;
    const [left, right] = [now[index - 1], now[index + 1]];
    const point = {
      from_l: between(left ? left.from_l + step : 0, half(from), right ? right.from_l - step : 100),
      to_l: between(left?.to_l ?? 0, half(to), right?.to_l ?? 100),
    };
    const next = now.map((one, i) => (i === index ? point : one));
    moving.current = next;
    setTonePoints('the picture’s curve', next);
  };
  const remove = (index: number): void => setTonePoints('a point removed', points.filter((_, i) => i !== index));
  const grip = useDrag<Held>({
    move: ({ index }, event) => {
      const box = (event.currentTarget as SVGGElement).ownerSVGElement?.getBoundingClientRect();
      if (!box) return;
      move(index, x.back(((event.clientX - box.left) / box.width) * SQUARE.width), y.back(((event.clientY - box.top) / box.height) * SQUARE.height));
    },
  });
  const key = (index: number, event: KeyboardEvent): void => {
    const point = points[index];
    if (!point) return;
    const by = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1], PageUp: [0, 10], PageDown: [0, -10] }[event.key];
    if (event.key === 'Delete' || event.key === 'Backspace') remove(index);
    else if (by) move(index, point.from_l + (by[0] ?? 0), point.to_l + (by[1] ?? 0));
    else return;
    event.preventDefault();
  };
  const press = (event: MouseEvent): void => {
    const box = (event.currentTarget as SVGRectElement).ownerSVGElement?.getBoundingClientRect();
    if (!box || points.length >= limitsOf('picture.tone_points').max) return;
    const from_l = half(x.back(((event.clientX - box.left) / box.width) * SQUARE.width));
    if (points.some((one) => Math.abs(one.from_l - from_l) < 2)) return;
    const all = withEnds(points);
    const [left, right] = [all.filter((one) => one.from_l < from_l).at(-1), all.find((one) => one.from_l > from_l)];
    const at = half(y.back(((event.clientY - box.top) / box.height) * SQUARE.height));
    putPoint(points, { from_l, to_l: between(left?.to_l ?? 0, at, right?.to_l ?? 100) });
  };

  return (
    <>
      <Plot live frame={SQUARE} title="Curve of the picture’s tones" x={x} y={y} xTicks={TICKS} yTicks={TICKS}
        xName={before} yName="becomes"
        description={`${straight ? 'The curve leaves tones as they are.' : `L* 25 becomes ${(curve[25] ?? 0).toFixed(0)}, L* 50 ${(curve[50] ?? 0).toFixed(0)}, L* 75 ${(curve[75] ?? 0).toFixed(0)}.`} Beneath, how many pixels have each tone afterwards. Points of the curve are moved with the arrow keys and removed with Delete.`}>
        {counts.length > 0 && <path class="plot-area" aria-hidden="true" d={`M${x(0)} ${floor}${shape}L${x(100)} ${floor}Z`} />}
        <line class="plot-mark" aria-hidden="true" x1={x(0)} y1={y(0)} x2={x(100)} y2={y(100)} />
        <path class="plot-line" aria-hidden="true" d={path(curve.map((_, l) => l), curve, x, y)} />
        <rect class="plot-grip tones-room" aria-hidden="true" x={x(0)} y={y(100)} width={x(100) - x(0)} height={y(0) - y(100)} onClick={press} />
        {points.map(({ from_l, to_l }, i) => (
          <g key={i} class="plot-handle tones-point" role="slider" tabindex={0} aria-label={`Point ${i + 1} of the curve`} aria-orientation="vertical"
            aria-valuemin={0} aria-valuemax={100} aria-valuenow={to_l} aria-valuetext={`L* ${from_l} becomes ${to_l}`}
            onKeyDown={(event) => key(i, event)} onDblClick={() => remove(i)}
            {...grip((event) => { (event.currentTarget as SVGGElement).focus(); return { index: i }; })}>
            <circle class="plot-grip" cx={x(from_l)} cy={y(to_l)} r={14} />
            <circle class="plot-bead" cx={x(from_l)} cy={y(to_l)} r={4.5} />
          </g>
        ))}
      </Plot>
      {points.length > 0 && (
        <ul class="tones-list">
          {points.map(({ from_l, to_l }, i) => (
            <li key={i}>
              <span class="number">L* {from_l}</span> becomes <span class="number">{to_l}</span>
              <button type="button" class="quiet screen-only" aria-label={`Remove the point at L* ${from_l}`} onClick={() => remove(i)}>remove</button>
            </li>
          ))}
        </ul>
      )}
    </>
  );
}
