import { useEffect, useMemo, useRef } from 'preact/hooks';
import { computed, effect, untracked, useSignal, type Signal } from '@preact/signals';
import { attachProof, gazeMoved, pyramid } from '../../engine/scheduler.ts';
import { drawing, faultMark, fieldMm, lens, overProof, placeLens } from '../../store/viewState.ts';
import { plan, usePlan } from '../../store/plan.ts';
import { summary } from '../../store/results.ts';
import { lengthWords, pane, units } from '../../store/settings.ts';
import { firstProof } from '../../store/firstTime.ts';
import { narrow } from '../../store/narrow.ts';
import { later } from '../../ui/Later.tsx';
import { bareSheet, drawSheet } from './drawSheet.ts';
import { hands } from './hands.ts';
import { NextSteps } from '../first/later.ts';
import { LensMark } from './LensMark.tsx';
import { ProofFoot } from './ProofFoot.tsx';
import type { Viewport } from '../../engine/pyramid.ts';
import { PaperProof } from './PaperProof.tsx';
import { AT_SIZE, fitted, kept, sheetOf, view, wholeSheet, zoomed, type Fit } from '../../ui/sheetView.ts';

const PullProof = later('The first proof', async () => (await import('../first/PullProof.tsx')).PullProof);
const DrawOver = later('Drawing by hand', async () => (await import('../areas/DrawOver.tsx')).DrawOver);

/** Steps of the arrow keys, css pixels. */
const STEP_PX = 60;

/** The ways to move the sheet in a frame of this size, css pixels. */
function movesIn(size: Signal<{ width: number; height: number }>) {
  const least = (): number => wholeSheet(sheetOf(), size.value.width, size.value.height).scale * 0.6;
  return {
    zoom: (factor: number, dx = 0, dy = 0): void => { view.value = kept(zoomed(view.value, factor, dx, dy, least()), sheetOf()); },
    pan: (dx: number, dy: number): void => {
      const { scale, x, y } = view.value;
      view.value = kept({ scale, x: x - dx / scale, y: y - dy / scale, fit: null }, sheetOf());
    },
    fit: (what: Fit): void => { view.value = fitted(what, sheetOf(), size.value.width, size.value.height); },
    atScale: (scale: number): void => { view.value = kept({ scale, x: lens.value.x, y: lens.value.y, fit: null }, sheetOf()); },
    /** The place of the print, µm, at a place of the frame. */
    place: (px: number, py: number): { x: number; y: number } => {
      const { scale, x, y } = view.value;
      return { x: x + (px - size.value.width / 2) / scale, y: y + (py - size.value.height / 2) / scale };
    },
  };
}

/** The printed sheet on the bench; pan, zoom, and put the linen tester down anywhere. */
export function Proof() {
  const frame = useRef<HTMLDivElement>(null);
  const canvas = useRef<HTMLCanvasElement>(null);
  const size = useSignal({ width: 0, height: 0 });
  const moves = useMemo(() => movesIn(size), [size]);
  const { pan, zoom, fit, atScale } = moves;

  useEffect(() => {
    const host = frame.current;
    const on = canvas.current;
    const context = on?.getContext('2d');
    if (!host || !on || !context) return undefined;
    const { place } = moves;

    const gaze = (): Viewport | null => {
      if (!size.value.width) return null;
      const from = place(0, 0);
      const to = place(size.value.width, size.value.height);
      const { x, y } = view.value.fit ? lens.value : view.value;
      return { left: from.x, top: from.y, right: to.x, bottom: to.y, focusX: x, focusY: y, px_um: 1 / (view.value.scale * devicePixelRatio) };
    };
    let asked = 0;
    const draw = (): void => {
      asked = 0;
      const where = gaze();
      const { width, height } = size.value;
      if (!where) return;
      const dpr = devicePixelRatio;
      if (on.width !== Math.round(width * dpr) || on.height !== Math.round(height * dpr)) {
        on.width = Math.round(width * dpr);
        on.height = Math.round(height * dpr);
      }
      drawSheet(context, {
        sheet: sheetOf(), view: view.value, dpr, width, height, pyramid,
        paper: tone.value,
      }, where);
    };
    const redraw = (): void => { asked ||= requestAnimationFrame(draw); };
    attachProof(gaze, redraw);

    const watch = new ResizeObserver(([entry]) => {
      if (!entry) return;
      const { width, height } = entry.contentRect;
      size.value = { width, height };
    });
    watch.observe(host);
    // Most changes of the plan leave the sheet as it is; only its measures call for a new drawing.
    const measures = computed(() => `${plan.value.plate.width_mm} ${plan.value.plate.height_mm} ${plan.value.plate.bevel_mm} ${plan.value.plate.corner_radius_mm} ${plan.value.paper.margin_mm}`);
    const tone = computed(() => bareSheet(summary.value));
    const stopFit = effect(() => {
      void measures.value;
      const { width, height } = size.value;
      const { fit: fills } = view.peek();
      if (width && fills) view.value = fitted(fills, untracked(sheetOf), width, height);
    });
    const stopDraw = effect(() => {
      void [size.value, view.value, tone.value, measures.value];
      redraw();
    });
    const stopGaze = effect(() => {
      void [size.value, view.value, lens.value];
      gazeMoved();
    });
    const letGo = hands(on, {
      pan: moves.pan, zoom: (factor, px, py) => moves.zoom(factor, px - size.value.width / 2, py - size.value.height / 2),
      onLens: (px, py, reach) => {
        const at = place(px, py);
        const half = Math.max((fieldMm.value * 1000) / 2, reach / view.value.scale);
        return Math.abs(at.x - lens.value.x) <= half && Math.abs(at.y - lens.value.y) <= half;
      },
      moveLens: (dx, dy) => placeLens(lens.value.x + dx / view.value.scale, lens.value.y + dy / view.value.scale),
      tap: (px, py) => { const at = place(px, py); placeLens(at.x, at.y); },
    });
    return () => { watch.disconnect(); stopFit(); stopDraw(); stopGaze(); letGo(); cancelAnimationFrame(asked); };
  }, [size, moves]);

  const key = (event: KeyboardEvent): void => {
    const arrows: Record<string, [number, number]> = {
      ArrowLeft: [STEP_PX, 0], ArrowRight: [-STEP_PX, 0], ArrowUp: [0, STEP_PX], ArrowDown: [0, -STEP_PX],
    };
    const move = arrows[event.key];
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (move) pan(move[0], move[1]);
    else if (event.key === '+' || event.key === '=') zoom(1.4);
    else if (event.key === '-') zoom(1 / 1.4);
    else if (event.key === '0') fit('sheet');
    else if (event.key === '9') fit('plate');
    else if (event.key === '1') atScale(AT_SIZE);
    else return;
    event.preventDefault();
  };

  const plate = usePlan((plan) => plan.plate);
  const title = usePlan((plan) => plan.title);
  void units.value;
  const Over = overProof.value;
  const Mark = faultMark.value;
  const digits = Number.isInteger(plate.width_mm) && Number.isInteger(plate.height_mm) ? 0 : 1;
  return (
    <section class="proof" aria-labelledby="proof-title" data-shown={pane.value === 'proof'}>
      <h2 id="proof-title" class="unseen">Proof</h2>
      <div class="proof-frame" ref={frame}>
        {/* A picture takes no keys: what holds it does. */}
        <div class="proof-look" tabIndex={0} role="group" onKeyDown={key}
          aria-label="The proof. Arrow keys move it, plus and minus zoom, 0 shows the whole sheet, 9 the plate.">
          <canvas ref={canvas} role="img"
            aria-label={`Proof of “${title || 'untitled plate'}”, ${lengthWords(plate.width_mm, digits)} by ${lengthWords(plate.height_mm, digits)}. The value scale lists its tones.`} />
        </div>
        <LensMark frame={size} on={() => view.value} at={() => lens.value} />
        {drawing.value && <DrawOver pan={pan} zoom={zoom} />}
        {Mark && <Mark />}
        {Over && <Over pan={pan} zoom={zoom} />}
        {firstProof.value === 'pulling' && <PullProof />}
        {firstProof.value === 'next' && !narrow.value && <NextSteps />}
        <PaperProof />
      </div>
      <ProofFoot fit={fit} atSize={() => atScale(AT_SIZE)} grain={() => atScale(0.08)} nearer={() => zoom(1.5)} farther={() => zoom(1 / 1.5)} />
    </section>
  );
}
