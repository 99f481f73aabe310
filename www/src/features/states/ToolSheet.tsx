import { useEffect, useRef, useState } from 'preact/hooks';
import type { OverProof } from '../../store/viewState.ts';
import type { Corner } from './states.ts';
import { asPassage, drawn, held, outline, width_mm } from './states.ts';
import { view } from '../../ui/sheetView.ts';
import { pointing, type Place } from '../../ui/pointer.ts';

/** Nearest two points of a path, css pixels. */
const STEP_PX = 3;
/** Steps of the arrow keys, mm: plain, with Shift, with Alt. */
const KEY_MM = [1, 10, 0.1] as const;

const tenth = (mm: number): number => Math.round(mm * 10) / 10;

/**
 * Lies over the proof while a tool is in hand: pen, mouse, finger and keys draw on it. Two fingers move the proof and
 * never draw; Escape puts the tool down.
 */
export const ToolSheet: OverProof = ({ pan, zoom }) => {
  const sheet = useRef<HTMLDivElement>(null);
  const [path, setPath] = useState<Corner[]>([]);
  const [size, setSize] = useState({ width: 0, height: 0 });
  /** Where the keys are, mm; null until one is pressed. */
  const [keyPlace, setKeyPlace] = useState<Corner | null>(null);
  const moves = useRef({ pan, zoom });
  moves.current = { pan, zoom };
  const tool = held.value;
  const closed = tool === 'outline' || asPassage.value;

  useEffect(() => {
    const on = sheet.current;
    if (!on || tool === null) return undefined;
    const watch = new ResizeObserver(() => setSize({ width: on.clientWidth, height: on.clientHeight }));
    watch.observe(on);
    let points: Corner[] = [];
    let pressures: number[] = [];
    const place = ({ x: px, y: py }: Place): Corner => {
      const { scale, x, y } = view.peek();
      return [(x + (px - on.clientWidth / 2) / scale) / 1000, (y + (py - on.clientHeight / 2) / scale) / 1000];
    };
    const forget = (): void => {
      points = [];
      setPath([]);
    };
    const done = (): void => {
      const [all, pressed] = [points, pressures];
      forget();
      drawn(all, pressed.reduce((sum, one) => sum + one, 0) / pressed.length);
    };
    const stop = pointing(on, {
      press: (here, event) => {
        setKeyPlace(null);
        points = [place(here)];
        pressures = [pressureOf(event)];
        setPath(points);
      },
      drag: (here, _, event) => {
        const to = place(here);
        const last = points.at(-1);
        if (!last || Math.hypot(to[0] - last[0], to[1] - last[1]) * 1000 * view.peek().scale < STEP_PX) return;
        pressures.push(pressureOf(event));
        points = [...points, to];
        setPath(points);
      },
      tap: done,
      drop: done,
      leave: forget,
      pan: (dx, dy) => moves.current.pan(dx, dy),
      zoom: (factor, x, y) => moves.current.zoom(factor, x - on.clientWidth / 2, y - on.clientHeight / 2),
    });
    // On a phone the proof may be far up the page.
    on.closest('.stage')?.scrollIntoView({ block: 'nearest' });
    on.focus({ preventScroll: true });
    return () => { watch.disconnect(); stop(); setPath([]); setKeyPlace(null); };
  }, [tool]);
  if (!tool) return null;

  const key = (event: KeyboardEvent): void => {
    if (event.ctrlKey || event.metaKey) return;
    const step = KEY_MM[event.shiftKey ? 1 : event.altKey ? 2 : 0];
    const arrows: Record<string, Corner> = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, -step], ArrowDown: [0, step] };
    const by = arrows[event.key];
    const here: Corner = keyPlace ?? [tenth(view.value.x / 1000), tenth(view.value.y / 1000)];
    if (by) setKeyPlace([tenth(here[0] + by[0]), tenth(here[1] + by[1])]);
    else if (event.key === ' ') {
      setKeyPlace(here);
      setPath([...path, here]);
    } else if (event.key === 'Enter') {
      setPath([]);
      drawn(path, 1);
    } else if (event.key === 'Backspace') setPath(path.slice(0, -1));
    else if (event.key !== 'Escape') return;
    else if (path.length > 0) setPath([]);
    else held.value = null;
    event.preventDefault();
  };

  const { scale, x, y } = view.value;
  const onScreen = ([mmX, mmY]: Corner): string =>
    `${((mmX * 1000 - x) * scale + size.width / 2).toFixed(1)},${((mmY * 1000 - y) * scale + size.height / 2).toFixed(1)}`;
  const asked = tool === 'outline' && !path.length ? outline.value : [];
  const ends = closed ? 'Enter closes the passage' : 'Enter ends the stroke';
  const [keyX, keyY] = (keyPlace ? onScreen(keyPlace) : '0,0').split(',');
  return (
    <>
      <div ref={sheet} class="tool-sheet" tabIndex={0} role="application" onKeyDown={key}
        aria-label={`The tool on the proof. Arrow keys move the place by 1 mm, with Shift by 10 mm, with Alt by 0.1 mm; Space sets a point, ${ends}, Backspace takes back a point, Escape puts the tool down.`}>
        <svg aria-hidden="true">
        {asked.length > 2 && <polygon class="tool-outline" points={asked.map(onScreen).join(' ')} />}
        {path.length > 0 && (closed
          ? <polygon class="tool-outline" points={path.map(onScreen).join(' ')} />
          : <polyline class="tool-stroke" points={[...path, ...(path.length === 1 ? path : [])].map(onScreen).join(' ')} stroke-width={Math.max(1, width_mm.value * 1000 * scale)} />)}
        {keyPlace && <path class="tool-place" d={`M${keyX} ${keyY}m-8 0h16m-8 -8v16`} />}
        </svg>
      </div>
      <p class="tool-said" aria-live="polite">
        {keyPlace && <><span class="number">{keyPlace[0].toFixed(1)}, {keyPlace[1].toFixed(1)}</span> <span class="unit">mm</span>{path.length > 0 && ` · ${path.length} ${path.length === 1 ? 'point' : 'points'}`} · </>}
        <button type="button" class="act" onClick={() => { held.value = null; }}>put the tool down</button>
      </p>
    </>
  );
};

/** A pen tells how hard it is pressed (about a half for a usual hand); mouse and finger don't. */
function pressureOf(event: PointerEvent): number {
  return event.pointerType === 'pen' && event.pressure > 0 ? Math.min(2, event.pressure * 2) : 1;
}
