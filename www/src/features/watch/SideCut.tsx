import { useId } from 'preact/hooks';
import type { Moment, WatchStage } from '../../engine/protocol.ts';
import { copperShape, inkShape, resinShape, runs } from '../../ui/cutShapes.ts';

const WIDTH = 640;
/** Height shown above and below the old surface, as shares of the width. */
const ABOVE = 0.19;
const BELOW = 0.085;
/** Room left under the deepest pit, µm. */
const ROOM_UM = 8;
/** The sheet and the varnish as they are drawn, µm thick. */
const SHEET_UM = 12;
const VARNISH_UM = 2.5;

interface Props { moment: Moment; work: WatchStage['work']; words: string }

/** The plate from the side, cut along the middle of the place; heights and widths to one scale. */
export function SideCut({ moment, work, words }: Props) {
  const id = useId();
  const { step_um, stopped, sheet_um, printed_um, balls_um, base_um, copper_um, resin_um } = moment;
  const width_um = (copper_um.length - 1) * step_um;
  const rule_um = Math.round((copper_um.length * step_um) / 8);
  const px = WIDTH / width_um;
  const up = width_um * ABOVE;
  const down = Math.max(width_um * BELOW, moment.numbers.deepest_um + ROOM_UM);
  const height = (up + down) * px;
  const x = (um: number): number => um * px;
  const y = (um: number): number => (up - um) * px;
  const cut = { ...moment, value: new Uint8Array() };
  const at = (i: number): number => x(i * step_um);
  const bathing = work === 'bite' || work === 'lines';
  const varnish = bathing
    ? runs(stopped.length, (i) => stopped[i] === 1, at, (i) => y(Math.max(base_um[i] ?? 0, Number.isNaN(resin_um[i]) ? -Infinity : resin_um[i] ?? 0) + VARNISH_UM), (i) => y(copper_um[i] ?? 0)) : '';
  const lies = (i: number): boolean => !Number.isNaN(sheet_um[i] ?? NaN);
  const sheet = runs(sheet_um.length, lies, at, (i) => y((sheet_um[i] ?? 0) + SHEET_UM), (i) => y(sheet_um[i] ?? 0));
  const taken = runs(sheet_um.length, (i) => lies(i) && (printed_um[i] ?? 0) > 0.05, at, (i) => y(sheet_um[i] ?? 0), (i) => y((sheet_um[i] ?? 0) - (printed_um[i] ?? 0)));
  return (
    <svg class="watch-side" viewBox={`0 0 ${WIDTH} ${height.toFixed(1)}`} role="img" aria-labelledby={`${id}t`} aria-describedby={`${id}d`}>
      <title id={`${id}t`}>The plate from the side</title>
      <desc id={`${id}d`}>{words}</desc>
      <defs>
        <pattern id={`${id}hatch`} width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><line class="cut-hatch" x1="0" x2="0" y1="0" y2="5" /></pattern>
        <pattern id={`${id}bath`} width="12" height="7" patternUnits="userSpaceOnUse"><line class="watch-wave" x1="0" x2="7" y1="3.5" y2="3.5" /></pattern>
      </defs>
      {bathing && <rect x="0" y="0" width={WIDTH} height={height} fill={`url(#${id}bath)`} />}
      {balls(balls_um).map(([place, centre, radius], i) => <circle key={i} class="watch-ball" cx={x(place)} cy={y(centre)} r={radius * px} />)}
      <path class="watch-varnish" d={varnish} />
      <path class="cut-ink" d={inkShape(cut, x, y)} />
      <path class="cut-resin" d={resinShape(cut, x, y)} />
      <path class="cut-copper" d={copperShape(cut, x, y, height)} />
      <path fill={`url(#${id}hatch)`} d={copperShape(cut, x, y, height)} />
      <path class="watch-sheet" d={sheet} />
      <path class="cut-ink" d={taken} />
      <line class="cut-old" x1={0} x2={WIDTH} y1={y(0)} y2={y(0)} />
      <g class="cut-scale" aria-hidden="true">
        <line x1={10} x2={10 + x(rule_um)} y1={14} y2={14} />
        <text x={16 + x(rule_um)} y={18}>{rule_um} µm</text>
      </g>
    </svg>
  );
}

function balls(flat: Float32Array): [number, number, number][] {
  return Array.from({ length: flat.length / 3 }, (_, i) => [flat[3 * i] ?? 0, flat[3 * i + 1] ?? 0, flat[3 * i + 2] ?? 0]);
}
