import { useEffect, useMemo, useRef } from 'preact/hooks';
import { effect, useSignal, type Signal } from '@preact/signals';
import { drawn, lookFrom, loupe, moveLoupe, spot, type Side } from './compare.ts';
import { fieldMm } from '../../store/viewState.ts';
import { bareSheet, drawSheet } from '../proof/drawSheet.ts';
import { hands } from '../proof/hands.ts';
import { LensMark } from '../proof/LensMark.tsx';
import type { Viewport } from '../../engine/pyramid.ts';
import { sheetOf, wholeSheet, type View } from '../../ui/sheetView.ts';

const CLOSEST = 1 / 2;
/** Steps of the arrow keys, css pixels. */
const STEP_PX = 40;

/** How this side lies in a frame of this size, css pixels, and the ways to move all of them. */
function movesOf(side: Side, size: Signal<{ width: number; height: number }>) {
  const sheet = sheetOf(side.plan);
  const view = (): View => {
    const { u, v, scale } = spot.value;
    const whole = wholeSheet(sheet, size.value.width, size.value.height);
    return scale === 0 ? whole : { scale, x: u * sheet.width, y: v * sheet.height, fit: null };
  };
  const pan = (dx: number, dy: number): void => {
    const { scale, x, y } = view();
    const part = (at: number, length: number): number => Math.min(1, Math.max(0, at / length));
    spot.value = { scale, u: part(x - dx / scale, sheet.width), v: part(y - dy / scale, sheet.height) };
  };
  const zoom = (factor: number, dx = 0, dy = 0): void => {
    const now = view();
    const scale = Math.min(CLOSEST, Math.max(0.0005, now.scale * factor));
    const by = 1 / now.scale - 1 / scale;
    spot.value = { scale, u: (now.x + dx * by) / sheet.width, v: (now.y + dy * by) / sheet.height };
  };
  return { sheet, view, pan, zoom };
}

/** One proof of several; hands on it move all of them. */
export function CompareProof({ side, letter }: { side: Side; letter: string }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const size = useSignal({ width: 0, height: 0 });
  const moves = useMemo(() => movesOf(side, size), [side, size]);
  const { sheet, view, pan, zoom } = moves;

  useEffect(() => {
    const on = canvas.current;
    const context = on?.getContext('2d');
    if (!on || !context) return undefined;
    const { sheet, view, pan, zoom } = moves;
    const gaze = (): Viewport | null => {
      const { width, height } = size.value;
      if (!width) return null;
      const { scale, x, y } = view();
      return {
        left: x - width / 2 / scale, top: y - height / 2 / scale, right: x + width / 2 / scale, bottom: y + height / 2 / scale,
        focusX: loupe.value.u * sheet.width, focusY: loupe.value.v * sheet.height, px_um: 1 / (scale * devicePixelRatio),
      };
    };
    lookFrom(side.key, gaze);
    let asked = 0;
    const draw = (): void => {
      asked = 0;
      const where = gaze();
      if (!where) return;
      const { width, height } = size.value;
      const dpr = devicePixelRatio;
      on.width = Math.round(width * dpr);
      on.height = Math.round(height * dpr);
      drawSheet(context, {
        sheet, view: view(), dpr, width, height, pyramid: side.pyramid, paper: bareSheet(side.summary),
      }, where);
    };
    const watch = new ResizeObserver(([entry]) => {
      if (entry) size.value = { width: entry.contentRect.width, height: entry.contentRect.height };
    });
    watch.observe(on);
    const stop = effect(() => {
      void [size.value, spot.value, drawn.value];
      asked ||= requestAnimationFrame(draw);
    });
    const place = (px: number, py: number): [number, number] => {
      const { scale, x, y } = view();
      return [x + (px - size.value.width / 2) / scale, y + (py - size.value.height / 2) / scale];
    };
    const letGo = hands(on, {
      pan, zoom: (factor, px, py) => zoom(factor, px - size.value.width / 2, py - size.value.height / 2),
      onLens: (px, py, reach) => {
        const [x, y] = place(px, py);
        const half = Math.max((fieldMm.value * 1000) / 2, reach / view().scale);
        return Math.abs(x - loupe.value.u * sheet.width) <= half && Math.abs(y - loupe.value.v * sheet.height) <= half;
      },
      moveLens: (dx, dy) => moveLoupe(loupe.value.u + dx / view().scale / sheet.width, loupe.value.v + dy / view().scale / sheet.height),
      tap: (px, py) => { const [x, y] = place(px, py); moveLoupe(x / sheet.width, y / sheet.height); },
    });
    return () => { watch.disconnect(); stop(); letGo(); cancelAnimationFrame(asked); };
  }, [side, size, moves]);

  const key = (event: KeyboardEvent): void => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const arrows: Record<string, [number, number]> = {
      ArrowLeft: [STEP_PX, 0], ArrowRight: [-STEP_PX, 0], ArrowUp: [0, STEP_PX], ArrowDown: [0, -STEP_PX],
    };
    const move = arrows[event.key];
    if (move) pan(move[0], move[1]);
    else if (event.key === '+' || event.key === '=') zoom(1.4);
    else if (event.key === '-') zoom(1 / 1.4);
    else if (event.key === '0') spot.value = { u: 0.5, v: 0.5, scale: 0 };
    else return;
    event.preventDefault();
  };
  return (
    <div class="compare-proof">
      <canvas ref={canvas} tabIndex={0} role="img" onKeyDown={key}
        aria-label={`Proof ${letter}: ${side.name}. Arrow keys move all proofs, plus and minus zoom, 0 shows the whole sheets.`} />
      <LensMark frame={size} on={view} at={() => ({ x: loupe.value.u * sheet.width, y: loupe.value.v * sheet.height })} />
    </div>
  );
}
