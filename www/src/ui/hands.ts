/** What hands can do to the proof; places are css pixels from the canvas's top left. */
export interface Touch {
  pan: (dx: number, dy: number) => void;
  zoom: (factor: number, x: number, y: number) => void;
  /** Whether a place is on the linen tester, give or take `reach` pixels. */
  onLens: (x: number, y: number, reach: number) => boolean;
  moveLens: (dx: number, dy: number) => void;
  tap: (x: number, y: number) => void;
}

/** Movement (css pixels) below which a press is a tap. */
const STILL_PX = 5;

/** Lets mouse, pen and fingers pan, zoom and move the linen tester. Returns how to stop. */
export function hands(canvas: HTMLCanvasElement, touch: Touch): () => void {
  const down = new Map<number, { x: number; y: number }>();
  let doing: 'nothing' | 'press' | 'pan' | 'lens' | 'pinch' = 'nothing';
  let begun = { x: 0, y: 0 };
  let onLens = false;

  const at = (event: MouseEvent): { x: number; y: number } => {
    const box = canvas.getBoundingClientRect();
    return { x: event.clientX - box.left, y: event.clientY - box.top };
  };
  const press = (event: PointerEvent): void => {
    if (event.button > 0) return;
    canvas.setPointerCapture(event.pointerId);
    const here = at(event);
    down.set(event.pointerId, here);
    if (down.size === 2) { doing = 'pinch'; return; }
    begun = here;
    onLens = touch.onLens(here.x, here.y, event.pointerType === 'touch' ? 24 : 12);
    doing = 'press';
  };
  const move = (event: PointerEvent): void => {
    const here = at(event);
    const before = down.get(event.pointerId);
    if (!before) {
      canvas.style.cursor = touch.onLens(here.x, here.y, 12) ? 'move' : 'crosshair';
      return;
    }
    if (doing === 'pinch') {
      const other = [...down.entries()].find(([id]) => id !== event.pointerId)?.[1];
      if (other) {
        const spanBefore = Math.hypot(before.x - other.x, before.y - other.y);
        const span = Math.hypot(here.x - other.x, here.y - other.y);
        touch.pan((here.x - before.x) / 2, (here.y - before.y) / 2);
        if (spanBefore > 0) touch.zoom(span / spanBefore, (here.x + other.x) / 2, (here.y + other.y) / 2);
      }
      down.set(event.pointerId, here);
      return;
    }
    if (doing === 'press' && Math.hypot(here.x - begun.x, here.y - begun.y) > STILL_PX) {
      doing = onLens ? 'lens' : 'pan';
      canvas.style.cursor = onLens ? 'move' : 'grabbing';
    }
    if (doing === 'lens') touch.moveLens(here.x - before.x, here.y - before.y);
    if (doing === 'pan') touch.pan(here.x - before.x, here.y - before.y);
    if (doing !== 'press') down.set(event.pointerId, here);
  };
  const lift = (event: PointerEvent): void => {
    if (!down.delete(event.pointerId)) return;
    if (doing === 'press' && event.type === 'pointerup') touch.tap(begun.x, begun.y);
    doing = down.size === 1 ? 'pan' : down.size ? doing : 'nothing';
    canvas.style.cursor = 'crosshair';
  };
  const wheel = (event: WheelEvent): void => {
    event.preventDefault();
    const here = at(event);
    const lines = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? 16 : 1;
    // A pinch on a touchpad arrives as a wheel with ctrl and small numbers.
    const strength = event.ctrlKey ? 0.01 : 0.0016;
    touch.zoom(Math.exp(-event.deltaY * lines * strength), here.x, here.y);
  };
  canvas.addEventListener('pointerdown', press);
  canvas.addEventListener('pointermove', move);
  canvas.addEventListener('pointerup', lift);
  canvas.addEventListener('pointercancel', lift);
  canvas.addEventListener('wheel', wheel, { passive: false });
  return () => {
    canvas.removeEventListener('pointerdown', press);
    canvas.removeEventListener('pointermove', move);
    canvas.removeEventListener('pointerup', lift);
    canvas.removeEventListener('pointercancel', lift);
    canvas.removeEventListener('wheel', wheel);
  };
}
