import type { ReadonlySignal } from '@preact/signals';
import { fieldMm } from '../../store/viewState.ts';
import type { View } from '../../ui/sheetView.ts';

/** Smallest side of the mark, css pixels. */
const SMALLEST_PX = 16;

interface Props {
  frame: ReadonlySignal<{ width: number; height: number }>;
  on: () => View;
  /** Middle of the field, µm on the print. */
  at: () => { x: number; y: number };
}

/**
 * Where a linen tester stands on a proof. A thing of its own over the proof: a hand that moves it must
 * not have the whole sheet drawn anew.
 */
export function LensMark({ frame, on, at }: Props) {
  const { scale, x, y } = on();
  const middle = at();
  const { width, height } = frame.value;
  const sharp = (px: number): number => Math.round(px * devicePixelRatio) / devicePixelRatio;
  const side = sharp(Math.max(fieldMm.value * 1000 * scale, SMALLEST_PX));
  const left = sharp(width / 2 + (middle.x - x) * scale - side / 2);
  const top = sharp(height / 2 + (middle.y - y) * scale - side / 2);
  return <span class="lens-mark" aria-hidden="true" style={{ width: `${side}px`, height: `${side}px`, transform: `translate(${left}px, ${top}px)` }} />;
}
