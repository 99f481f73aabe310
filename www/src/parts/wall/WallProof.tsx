import { useEffect, useRef } from 'preact/hooks';
import { effect } from '@preact/signals';
import { attachProof, pyramid } from '../../state/desk';
import { plan } from '../../state/plan';
import { progress, summary } from '../../state/results';
import { sheetOf } from '../proof/Proof';
import { bareSheet, drawSheet } from '../proof/drawSheet';
import type { Gaze } from '../proof/pyramid';

/** Longer side of the drawing, pixels: enough for a sheet of paper. */
const LONG_PX = 1800;

/** The whole printed sheet as a picture, ready for paper. */
export function WallProof() {
  const canvas = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    const on = canvas.current;
    const context = on?.getContext('2d');
    if (!on || !context) return;
    const sheet = sheetOf();
    const whole = { width: sheet.width + 2 * sheet.margin, height: sheet.height + 2 * sheet.margin };
    const scale = LONG_PX / Math.max(whole.width, whole.height);
    on.width = Math.round(whole.width * scale);
    on.height = Math.round(whole.height * scale);
    const gaze: Gaze = {
      left: -sheet.margin, top: -sheet.margin, right: sheet.width + sheet.margin, bottom: sheet.height + sheet.margin,
      focusX: sheet.width / 2, focusY: sheet.height / 2, px_um: 1 / scale,
    };
    let asked = 0;
    const draw = (): void => {
      asked = 0;
      drawSheet(context, {
        sheet, view: { scale, x: sheet.width / 2, y: sheet.height / 2, whole: true }, dpr: 1, width: on.width, height: on.height,
        pyramid, paper: bareSheet(summary.value),
      }, gaze);
    };
    const redraw = (): void => { asked ||= requestAnimationFrame(draw); };
    attachProof(() => gaze, redraw);
    const stop = effect(() => {
      void [summary.value, progress.value];
      redraw();
    });
    return () => { stop(); cancelAnimationFrame(asked); };
  }, []);
  const { title } = plan.value;
  const { done, of } = progress.value;
  return (
    <figure class="wall-proof">
      <canvas ref={canvas} role="img" aria-label={`Proof of “${title || 'untitled plate'}”`} width={1} height={1} />
      {(of === 0 || done < of) && <figcaption class="unit wall-progress">Every grain {of > 0 ? Math.floor((100 * done) / of) : 0} %</figcaption>}
    </figure>
  );
}
