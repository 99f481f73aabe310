import { pointing } from '../../ui/pointer.ts';

/** What hands can do to a proof; places are css pixels from the canvas's top left. */
export interface Touch {
  pan: (dx: number, dy: number) => void;
  zoom: (factor: number, x: number, y: number) => void;
  /** Whether a place is on the linen tester, give or take `reach` pixels. */
  onLens: (x: number, y: number, reach: number) => boolean;
  moveLens: (dx: number, dy: number) => void;
  tap: (x: number, y: number) => void;
}

/** How far from the linen tester it can still be taken hold of, css pixels: by a finger, and by mouse or pen. */
const REACH_PX = { finger: 24, tip: 12 };

/** Lets mouse, pen and fingers pan, zoom and move the linen tester. Returns how to stop. */
export function hands(canvas: HTMLCanvasElement, touch: Touch): () => void {
  let onLens = false;
  const rest = (): void => { canvas.style.cursor = 'crosshair'; };
  return pointing(canvas, {
    press: ({ x, y }, event) => { onLens = touch.onLens(x, y, event.pointerType === 'touch' ? REACH_PX.finger : REACH_PX.tip); },
    drag: (here, from) => {
      canvas.style.cursor = onLens ? 'move' : 'grabbing';
      (onLens ? touch.moveLens : touch.pan)(here.x - from.x, here.y - from.y);
    },
    tap: ({ x, y }) => { rest(); touch.tap(x, y); },
    drop: rest, leave: rest,
    pan: touch.pan, zoom: touch.zoom,
    hover: ({ x, y }) => { canvas.style.cursor = touch.onLens(x, y, REACH_PX.tip) ? 'move' : 'crosshair'; },
  });
}
