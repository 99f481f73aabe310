import { useRef } from 'preact/hooks';

/* Mouse, pen and fingers: on a canvas of one's own (`pointing`), and on what is dragged by itself (`useDrag`). */

export interface Place { x: number; y: number }

/** What a pointer does on an element; places are css pixels from its top left. */
export interface Pointing {
  /** One finger, the pen or the mouse has come down. */
  press: (here: Place, event: PointerEvent) => void;
  /** It has moved, farther by now than in a tap; at first from where it came down. */
  drag: (here: Place, from: Place, event: PointerEvent) => void;
  /** It is lifted again where it came down, or after a drag. */
  tap: (here: Place) => void;
  drop: () => void;
  /** What was begun is off: a second finger has come down, or the browser has taken the pointer. */
  leave: () => void;
  /** Two fingers, the one of them that stays, the middle button and the wheel move what is shown. */
  pan: (dx: number, dy: number) => void;
  zoom: (factor: number, x: number, y: number) => void;
  /** The mouse moves with nothing pressed. */
  hover?: (here: Place) => void;
}

/** Movement (css pixels) below which a press is a tap. */
const STILL_PX = 5;

export function placeOn(on: Element, event: MouseEvent): Place {
  const box = on.getBoundingClientRect();
  return { x: event.clientX - box.left, y: event.clientY - box.top };
}

/** Lets mouse, pen and fingers do this on an element. Returns how to stop. */
export function pointing(on: HTMLElement, does: Pointing): () => void {
  const down = new Map<number, Place>();
  let doing: 'nothing' | 'press' | 'drag' | 'fingers' = 'nothing';
  let begun: Place = { x: 0, y: 0 };

  const press = (event: PointerEvent): void => {
    if (event.button > 1) return;
    on.setPointerCapture(event.pointerId);
    const here = placeOn(on, event);
    down.set(event.pointerId, here);
    // The middle button moves the sheet, as two fingers do; browsers would scroll by it.
    if (event.button === 1) event.preventDefault();
    if (down.size > 1 || event.button === 1) {
      if (doing === 'press' || doing === 'drag') does.leave();
      doing = 'fingers';
      return;
    }
    begun = here;
    doing = 'press';
    does.press(here, event);
  };
  const fingers = (id: number, here: Place, before: Place): void => {
    const other = [...down].find(([one]) => one !== id)?.[1];
    if (!other) {
      does.pan(here.x - before.x, here.y - before.y);
      return;
    }
    const spanBefore = Math.hypot(before.x - other.x, before.y - other.y);
    does.pan((here.x - before.x) / 2, (here.y - before.y) / 2);
    if (spanBefore > 0) does.zoom(Math.hypot(here.x - other.x, here.y - other.y) / spanBefore, (here.x + other.x) / 2, (here.y + other.y) / 2);
  };
  const move = (event: PointerEvent): void => {
    const here = placeOn(on, event);
    const before = down.get(event.pointerId);
    if (!before) {
      does.hover?.(here);
      return;
    }
    if (doing === 'fingers') fingers(event.pointerId, here, before);
    else {
      if (doing === 'press' && Math.hypot(here.x - begun.x, here.y - begun.y) <= STILL_PX) return;
      doing = 'drag';
      does.drag(here, before, event);
    }
    down.set(event.pointerId, here);
  };
  const lift = (event: PointerEvent): void => {
    if (!down.delete(event.pointerId)) return;
    const was = doing;
    if (down.size === 0) doing = 'nothing';
    if (was === 'fingers') return;
    if (event.type !== 'pointerup') does.leave();
    else if (was === 'press') does.tap(begun);
    else does.drop();
  };
  const wheel = (event: WheelEvent): void => {
    event.preventDefault();
    const here = placeOn(on, event);
    const lines = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? 16 : 1;
    // A pinch on a touchpad arrives as a wheel with ctrl and small numbers.
    const strength = event.ctrlKey ? 0.01 : 0.0016;
    does.zoom(Math.exp(-event.deltaY * lines * strength), here.x, here.y);
  };
  on.addEventListener('pointerdown', press);
  on.addEventListener('pointermove', move);
  on.addEventListener('pointerup', lift);
  on.addEventListener('pointercancel', lift);
  on.addEventListener('wheel', wheel, { passive: false });
  return () => {
    on.removeEventListener('pointerdown', press);
    on.removeEventListener('pointermove', move);
    on.removeEventListener('pointerup', lift);
    on.removeEventListener('pointercancel', lift);
    on.removeEventListener('wheel', wheel);
  };
}

interface Drag<T> {
  move?: (held: T, event: PointerEvent) => void;
  /** Lifted; not when the browser takes the pointer, which is `leave`. */
  end?: (held: T, event: PointerEvent) => void;
  leave?: () => void;
}

/** What an element takes over to be dragged. */
interface Grip {
  onPointerDown: (event: PointerEvent) => void;
  onPointerMove: (event: PointerEvent) => void;
  onPointerUp: (event: PointerEvent) => void;
  onPointerCancel: (event: PointerEvent) => void;
}

/** Lets things be dragged: what `begin` gives is held until the pointer that began is lifted; null leaves it alone. */
export function useDrag<T>({ move, end, leave }: Drag<T>): (begin: (event: PointerEvent) => T | null) => Grip {
  const held = useRef<{ by: number; what: T } | null>(null);
  const heldBy = ({ pointerId }: PointerEvent): { what: T } | null => (held.current?.by === pointerId ? held.current : null);
  return (begin) => ({
    onPointerDown: (event) => {
      const what = held.current && held.current.by !== event.pointerId ? null : begin(event);
      if (what === null) return;
      held.current = { by: event.pointerId, what };
      (event.currentTarget as Element).setPointerCapture(event.pointerId);
    },
    onPointerMove: (event) => {
      const now = heldBy(event);
      if (now) move?.(now.what, event);
    },
    onPointerUp: (event) => {
      const was = heldBy(event);
      if (!was) return;
      held.current = null;
      end?.(was.what, event);
    },
    onPointerCancel: (event) => {
      if (!heldBy(event)) return;
      held.current = null;
      leave?.();
    },
  });
}
