import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import type { ProofMoves } from '../../store/viewState.ts';
import type { Corner } from './states.ts';
import { asPassage, drawn, held, outline, width_mm } from './states.ts';
import { movedByKey, placeMm } from '../../ui/onProof.ts';
import { view } from '../../ui/sheetView.ts';
import { pointing } from '../../ui/pointer.ts';

/** Nearest two points of a path, css pixels. */
const STEP_PX = 3;

const tenth = (mm: number): number => Math.round(mm * 10) / 10;

/**
 * Lies over the proof while a tool is in hand: pen, mouse, finger and keys draw on it. Two fingers move the proof and
 * never draw; Escape puts the tool down.
 */
export function ToolSheet({ pan, zoom }: ProofMoves) {
  const sheet = useRef<HTMLDivElement>(null);
  const size = useSignal({ width: 0, height: 0 });
  const path = useSignal<Corner[]>([]);
  /** Where the keys are, mm; null until one is pressed. */
  const keyPlace = useSignal<Corner | null>(null);
  const tool = held.value;
  const closed = tool === 'outline' || asPassage.value;

  useEffect(() => {
    const on = sheet.current;
    if (!on || tool === null) return undefined;
    const watch = new ResizeObserver(() => { size.value = { width: on.clientWidth, height: on.clientHeight }; });
    watch.observe(on);
    /** How hard it was pressed at each point of the path. */
    let pressures: number[] = [];
    const place = (here: { x: number; y: number }): Corner => placeMm(here, on.clientWidth, on.clientHeight);
    const forget = (): void => { path.value = []; };
    const done = (): void => {
      const points = path.value;
      forget();
      drawn(points, pressures.reduce((sum, one) => sum + one, 0) / pressures.length);
    };
    const stop = pointing(on, {
      press: (here, event) => {
        keyPlace.value = null;
        path.value = [place(here)];
        pressures = [pressureOf(event)];
      },
      drag: (here, _, event) => {
        const to = place(here);
        const last = path.value.at(-1);
        if (!last || Math.hypot(to[0] - last[0], to[1] - last[1]) * 1000 * view.peek().scale < STEP_PX) return;
        pressures.push(pressureOf(event));
        path.value = [...path.value, to];
      },
      tap: done,
      drop: done,
      leave: forget,
      pan,
      zoom: (factor, x, y) => zoom(factor, x - on.clientWidth / 2, y - on.clientHeight / 2),
    });
    // On a phone the proof may be far up the page.
    on.closest('.stage')?.scrollIntoView({ block: 'nearest' });
    on.focus({ preventScroll: true });
    return () => { watch.disconnect(); stop(); forget(); keyPlace.value = null; };
  }, [tool, pan, zoom, size, path, keyPlace]);
  if (!tool) return null;

  const key = (event: KeyboardEvent): void => {
    if (event.ctrlKey || event.metaKey) return;
    const by = movedByKey(event);
    const here: Corner = keyPlace.value ?? [tenth(view.value.x / 1000), tenth(view.value.y / 1000)];
    if (by) keyPlace.value = [tenth(here[0] + by[0]), tenth(here[1] + by[1])];
    else if (event.key === ' ') {
      keyPlace.value = here;
      path.value = [...path.value, here];
    } else if (event.key === 'Enter') {
      const points = path.value;
      path.value = [];
      drawn(points, 1);
    } else if (event.key === 'Backspace') path.value = path.value.slice(0, -1);
    else if (event.key !== 'Escape') return;
    else if (path.value.length > 0) path.value = [];
    else held.value = null;
    event.preventDefault();
  };

  const { scale, x, y } = view.value;
  const onScreen = ([mmX, mmY]: Corner): string =>
    `${((mmX * 1000 - x) * scale + size.value.width / 2).toFixed(1)},${((mmY * 1000 - y) * scale + size.value.height / 2).toFixed(1)}`;
  const [points, at] = [path.value, keyPlace.value];
  const asked = tool === 'outline' && !points.length ? outline.value : [];
  const ends = closed ? 'Enter closes the passage' : 'Enter ends the stroke';
  const [keyX, keyY] = (at ? onScreen(at) : '0,0').split(',');
  return (
    <>
      <div ref={sheet} class="tool-sheet" tabIndex={0} role="application" onKeyDown={key}
        aria-label={`The tool on the proof. Arrow keys move the place by 1 mm, with Shift by 10 mm, with Alt by 0.1 mm; Space sets a point, ${ends}, Backspace takes back a point, Escape puts the tool down.`}>
        <svg aria-hidden="true">
          {asked.length > 2 && <polygon class="tool-outline" points={asked.map(onScreen).join(' ')} />}
          {points.length > 0 && (closed
            ? <polygon class="tool-outline" points={points.map(onScreen).join(' ')} />
            : <polyline class="tool-stroke" points={[...points, ...(points.length === 1 ? points : [])].map(onScreen).join(' ')} stroke-width={Math.max(1, width_mm.value * 1000 * scale)} />)}
          {at && <path class="tool-place" d={`M${keyX} ${keyY}m-8 0h16m-8 -8v16`} />}
        </svg>
      </div>
      <p class="tool-said" aria-live="polite">
        {at && <><span class="number">{at[0].toFixed(1)}, {at[1].toFixed(1)}</span> <span class="unit">mm</span>{points.length > 0 && ` · ${points.length} ${points.length === 1 ? 'point' : 'points'}`} · </>}
        <button type="button" class="act" onClick={() => { held.value = null; }}>put the tool down</button>
      </p>
    </>
  );
}

/** A pen tells how hard it is pressed (about a half for a usual hand); mouse and finger don't. */
function pressureOf(event: PointerEvent): number {
  return event.pointerType === 'pen' && event.pressure > 0 ? Math.min(2, event.pressure * 2) : 1;
}
