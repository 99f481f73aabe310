import { useEffect, useRef, useState } from 'preact/hooks';

import type { Corner } from './states.ts';
import { asPassage, drawn, held, outline, width_mm } from './states.ts';
import { view } from '../../ui/sheetView.ts';
import { useDrag } from '../../ui/pointer.ts';

/** Nearest two points of a path, css pixels. */
const STEP_PX = 3;

/** Lies over the proof while a tool is in hand: the pen, mouse or finger draws on it. */
export function ToolSheet() {
  const sheet = useRef<SVGSVGElement>(null);
  const [path, setPath] = useState<Corner[]>([]);
  const [size, setSize] = useState({ width: 0, height: 0 });
  const tool = held.value;
  const closed = tool === 'outline' || asPassage.value;

  useEffect(() => {
    const on = sheet.current;
    if (!on) return undefined;
    const watch = new ResizeObserver(() => setSize({ width: on.clientWidth, height: on.clientHeight }));
    watch.observe(on);
    return () => watch.disconnect();
  }, [tool === null]);
  const { scale, x, y } = view.value;
  const place = (event: PointerEvent): Corner => {
    const box = sheet.current?.getBoundingClientRect();
    if (!box) return [0, 0];
    const [px, py] = [event.clientX - box.left - box.width / 2, event.clientY - box.top - box.height / 2];
    return [(x + px / scale) / 1000, (y + py / scale) / 1000];
  };
  // Held is how hard it was pressed at each point of the path.
  const grip = useDrag<number[]>({
    move: (pressures, event) => {
      const last = path.at(-1);
      if (!last || !event.isPrimary) return;
      const here = place(event);
      if (Math.hypot(here[0] - last[0], here[1] - last[1]) * 1000 * scale < STEP_PX) return;
      pressures.push(pressureOf(event));
      setPath([...path, here]);
    },
    end: (pressures) => {
      if (!path.length) return;
      setPath([]);
      drawn(path, pressures.reduce((sum, one) => sum + one, 0) / pressures.length);
    },
    leave: () => setPath([]),
  });
  if (!tool) return null;

  const onScreen = ([mmX, mmY]: Corner): string =>
    `${((mmX * 1000 - x) * scale + size.width / 2).toFixed(1)},${((mmY * 1000 - y) * scale + size.height / 2).toFixed(1)}`;
  const press = (event: PointerEvent): number[] | null => {
    if (event.button !== 0 || !event.isPrimary) return null;
    event.preventDefault();
    setPath([place(event)]);
    return [pressureOf(event)];
  };

  const asked = tool === 'outline' && !path.length ? outline.value : [];
  return (
    <svg ref={sheet} class="tool-sheet" aria-hidden="true" {...grip(press)}>
      {asked.length > 2 && <polygon class="tool-outline" points={asked.map(onScreen).join(' ')} />}
      {path.length > 0 && (closed
        ? <polygon class="tool-outline" points={path.map(onScreen).join(' ')} />
        : <polyline class="tool-stroke" points={[...path, ...(path.length === 1 ? path : [])].map(onScreen).join(' ')} stroke-width={Math.max(1, width_mm.value * 1000 * scale)} />)}
    </svg>
  );
}

/** A pen tells how hard it is pressed (about a half for a usual hand); mouse and finger don't. */
function pressureOf(event: PointerEvent): number {
  return event.pointerType === 'pen' && event.pressure > 0 ? Math.min(2, event.pressure * 2) : 1;
}
