import { pyramid } from '../../engine/scheduler.ts';
import { summary } from '../../store/results.ts';
import { bareSheet, drawSheet } from './drawSheet.ts';
import type { Viewport } from '../../engine/pyramid.ts';
import { sheetOf } from '../../ui/sheetView.ts';

/** Longer side of the drawing, pixels: enough for a sheet of paper. */
const LONG_PX = 1800;

/** The whole printed sheet, whatever is in view: for paper. `draw` puts it on the canvas, `gaze` is what it then looks at. */
export function wholeSheet(on: HTMLCanvasElement): { gaze: Viewport; draw: () => void } {
  const sheet = sheetOf();
  const whole = { width: sheet.width + 2 * sheet.margin, height: sheet.height + 2 * sheet.margin };
  const scale = LONG_PX / Math.max(whole.width, whole.height);
  const [width, height] = [Math.round(whole.width * scale), Math.round(whole.height * scale)];
  const gaze: Viewport = {
    left: -sheet.margin, top: -sheet.margin, right: sheet.width + sheet.margin, bottom: sheet.height + sheet.margin,
    focusX: sheet.width / 2, focusY: sheet.height / 2, px_um: 1 / scale,
  };
  const draw = (): void => {
    const context = on.getContext('2d');
    if (!context) return;
    if (on.width !== width || on.height !== height) {
      on.width = width;
      on.height = height;
    }
    drawSheet(context, {
      sheet, view: { scale, x: sheet.width / 2, y: sheet.height / 2, fit: 'sheet' }, dpr: 1, width, height,
      pyramid, paper: bareSheet(summary.value),
    }, gaze);
  };
  return { gaze, draw };
}
