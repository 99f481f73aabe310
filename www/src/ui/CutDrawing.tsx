import { useId } from 'preact/hooks';
import type { Cut } from '../engine/protocol.ts';
import { copperShape, cutWords, inkShape, resinShape, spanOf } from './cutShapes.ts';

const WIDTH = 320;
/** Heights are drawn this many times taller than widths. */
const TALLER = 2;
/** Room above the domes and below the deepest pit, µm. */
const ABOVE_UM = 6;
const BELOW_UM = 9;
/** The drawing always shows at least this much, µm, so that it doesn't jump about. */
const LEAST_UP_UM = 16;
const LEAST_DOWN_UM = 24;

interface Props {
  cut: Cut; width_um: number; bites: number; inked: boolean;
  /** The drawing keeps room for this depth, so that it stays the same size from bite to bite. */
  deepest_um: number;
}

/** A cut through the plate: copper, resin and ink, to scale but for its heights. */
export function CutDrawing({ cut: now, width_um, bites, inked, deepest_um }: Props) {
  const id = useId();
  const span = spanOf(now);
  const up = Math.max(LEAST_UP_UM, span.highest + ABOVE_UM);
  const down = Math.max(LEAST_DOWN_UM, Math.max(-span.deepest, deepest_um) + BELOW_UM);
  const px = WIDTH / width_um;
  const height = (up + down) * px * TALLER;
  const x = (um: number): number => um * px;
  const y = (um: number): number => (up - um) * px * TALLER;
  const words = cutWords(now, bites, inked);
  return (
    <figure class="cut-figure">
      <svg viewBox={`0 0 ${WIDTH} ${height.toFixed(1)}`} role="img" aria-labelledby={`${id}cut-svg-title`} aria-describedby={`${id}cut-svg-words`}>
        <title id={`${id}cut-svg-title`}>Section through the plate</title>
        <desc id={`${id}cut-svg-words`}>{words}</desc>
        <defs>
          <pattern id={`${id}hatch`} width="4" height="4" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
            <line class="cut-hatch" x1="0" x2="0" y1="0" y2="4" />
          </pattern>
        </defs>
        <path class="cut-ink" d={inkShape(now, x, y)} />
        <path class="cut-resin" d={resinShape(now, x, y)} />
        <path class="cut-copper" d={copperShape(now, x, y, height)} />
        <path class="cut-copper-hatch" fill={`url(#${id}hatch)`} d={copperShape(now, x, y, height)} />
        <line class="cut-old" x1={0} x2={WIDTH} y1={y(0)} y2={y(0)} />
        <g class="cut-scale" aria-hidden="true">
          {['cut-scale-edge', ''].map((edge) => (
            <g key={edge}>
              <line class={edge} x1={WIDTH - 8 - x(100)} x2={WIDTH - 8} y1={height - 9} y2={height - 9} />
              <line class={edge} x1={8} x2={8} y1={height - 5} y2={height - 5 - 20 * px * TALLER} />
            </g>
          ))}
          <text x={WIDTH - 8 - x(100) - 4} y={height - 5} text-anchor="end">100 µm</text>
          <text x={12} y={height - 5}>20 µm</text>
        </g>
      </svg>
      <figcaption>
        <span>Heights ×{TALLER}</span>
        <span class="key key-copper">copper</span>
        {span.resin && <span class="key key-resin">resin</span>}
        {span.ink && <span class="key key-ink">ink</span>}
        <span class="key key-old">old surface</span>
      </figcaption>
    </figure>
  );
}
