import type { Cut } from '../../engine/protocol.ts';
import { copperShape, cutWords, inkShape, resinShape } from '../../ui/cutShapes.ts';

/** Size of a small cut, how much higher than wide its µm are drawn, and room above the old surface, µm. */
export const THUMB = { width: 200, taller: 2.5, up_um: 9, least_um: 18 };

/** A cut so small that only its shapes matter; all of a strip are drawn to one scale. */
export function CutThumb({ cut, width_um, bites, deepest_um }: { cut: Cut; width_um: number; bites: number; deepest_um: number }) {
  const { height, x, y } = thumbScale(width_um, deepest_um);
  return (
    <svg class="strip-cut" viewBox={`0 0 ${THUMB.width} ${height.toFixed(1)}`} role="img" aria-label={cutWords(cut, bites, true)}>
      <path class="cut-ink" d={inkShape(cut, x, y)} />
      <path class="cut-resin" d={resinShape(cut, x, y)} />
      <path class="cut-copper" d={copperShape(cut, x, y, height)} />
      <line class="cut-old" x1={0} x2={THUMB.width} y1={y(0)} y2={y(0)} />
    </svg>
  );
}

export function thumbScale(width_um: number, deepest_um: number): { height: number; x: (um: number) => number; y: (um: number) => number } {
  const px = THUMB.width / width_um;
  const down = Math.max(THUMB.least_um, deepest_um + 6);
  return {
    height: (THUMB.up_um + down) * px * THUMB.taller,
    x: (um) => um * px,
    y: (um) => (THUMB.up_um - um) * px * THUMB.taller,
  };
}
