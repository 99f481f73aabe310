import { useEffect, useRef } from 'preact/hooks';
import { effect } from '@preact/signals';
import { attachProof } from '../../engine/scheduler.ts';
import { plan } from '../../store/plan.ts';
import { progress, summary } from '../../store/results.ts';
import { wholeSheet } from '../proof/wholeSheet.ts';

/** The whole printed sheet as a picture, ready for paper. */
export function WallProof() {
  const canvas = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    const on = canvas.current;
    if (!on) return undefined;
    const { gaze, draw } = wholeSheet(on);
    let asked = 0;
    const redraw = (): void => { asked ||= requestAnimationFrame(() => { asked = 0; draw(); }); };
    attachProof(() => gaze, redraw, true);
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
