import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import type { Fault } from '../../engine/protocol.ts';
import { limitsOf, toStep } from '../../store/catalogue.ts';
import { usePlan } from '../../store/plan.ts';
import { lengthWords } from '../../store/settings.ts';
import { movedByKey } from '../../ui/onProof.ts';
import { useDrag } from '../../ui/pointer.ts';
import { view } from '../../ui/sheetView.ts';
import { held, infoOf, setFault } from './faults.ts';

type Moved = Pick<Fault, 'x_mm' | 'y_mm' | 'radius_mm'>;
interface Held { what: 'place' | 'reach'; from: Moved; x: number; y: number }

/** Where the fault in hand lies and how far it reaches, over the proof; both can be dragged, and moved with the arrow keys. */
export function FaultMark() {
  const sheet = useRef<HTMLDivElement>(null);
  const size = useSignal({ width: 0, height: 0 });
  /** While a hand is at it: the plan has it once it is let go, as one change. */
  const moved = useSignal<Moved | null>(null);
  const index = held.value;
  const fault = usePlan((of) => (held.value === null ? undefined : of.faults?.[held.value]));
  const plate = usePlan((of) => of.plate);
  useEffect(() => {
    const on = sheet.current;
    if (!on) return undefined;
    const watch = new ResizeObserver(() => { size.value = { width: on.clientWidth, height: on.clientHeight }; });
    watch.observe(on);
    return () => watch.disconnect();
  }, [fault === undefined, size]);
  const grip = useDrag<Held>({
    move: (from, event) => { moved.value = draggedTo(from, event); },
    end: ({ what }) => {
      if (moved.value && index !== null) setFault(index, what, moved.value);
      moved.value = null;
    },
    leave: () => { moved.value = null; },
  });
  const info = fault && infoOf(fault.kind);
  if (!fault || !info || index === null) return null;
  const { x_mm, y_mm, radius_mm } = moved.value ?? fault;
  const { scale, x, y } = view.value;
  const px = (mm: number): number => mm * 1000 * scale;
  const [left, top] = [size.value.width / 2 - x * scale, size.value.height / 2 - y * scale];
  const streak = info.runs_down;
  const begin = (what: Held['what']) => grip((event) => ({ what, from: { x_mm, y_mm, radius_mm }, x: event.clientX, y: event.clientY }));
  const key = (what: Held['what']) => (event: KeyboardEvent): void => {
    const by = movedByKey(event);
    if (!by) return;
    event.preventDefault();
    setFault(index, what, what === 'place' ? within({ x_mm: x_mm + by[0], y_mm: y_mm + by[1], radius_mm }) : within({ x_mm, y_mm, radius_mm: radius_mm + (by[0] || by[1]) }));
  };
  const at = (atX: number, atY: number) => ({ transform: `translate(${(left + px(atX)).toFixed(1)}px, ${(top + px(atY)).toFixed(1)}px)` });
  const [reachX, reachY] = info.place === 'edges' ? [radius_mm, plate.height_mm / 2] : streak ? [x_mm, y_mm + radius_mm] : [x_mm + radius_mm, y_mm];
  const moves = 'Arrow keys move it by 1 mm, with Shift by 10 mm, with Alt by 0.1 mm.';
  return (
    <div ref={sheet} class="fault-mark">
      <svg aria-hidden="true">
        {['fault-under', 'fault-line'].map((line) => (
          <g key={line} class={line} transform={`translate(${left.toFixed(1)} ${top.toFixed(1)})`}>
            {info.place === 'plate' && <rect width={px(plate.width_mm)} height={px(plate.height_mm)} />}
            {info.place === 'edges' && <rect x={px(radius_mm)} y={px(radius_mm)} width={Math.max(0, px(plate.width_mm - 2 * radius_mm))} height={Math.max(0, px(plate.height_mm - 2 * radius_mm))} />}
            {info.place === 'spot' && (streak
              ? <line x1={px(x_mm)} x2={px(x_mm)} y1={px(y_mm)} y2={px(y_mm + radius_mm)} />
              : <circle cx={px(x_mm)} cy={px(y_mm)} r={px(radius_mm)} />)}
          </g>
        ))}
      </svg>
      {info.place === 'spot' && (
        <button type="button" class="fault-grip" data-what="place" style={at(x_mm, y_mm)} {...begin('place')} onKeyDown={key('place')}
          aria-label={`Place of the ${info.name}: ${lengthWords(x_mm, 1)} from the left, ${lengthWords(y_mm, 1)} from the top. ${moves}`} />
      )}
      {info.place !== 'plate' && (
        <button type="button" class="fault-grip" data-what="reach" style={at(reachX, reachY)} {...begin('reach')} onKeyDown={key('reach')}
          aria-label={`Reach of the ${info.name}: ${lengthWords(radius_mm, 1)}. ${moves}`} />
      )}
    </div>
  );
}

/** Where a drag has brought it so far. */
function draggedTo({ what, from, x, y }: Held, event: PointerEvent): Moved {
  const { scale } = view.peek();
  const [across, down] = [event.clientX - x, event.clientY - y].map((px) => px / scale / 1000) as [number, number];
  if (what === 'place') return within({ ...from, x_mm: from.x_mm + across, y_mm: from.y_mm + down });
  // The handle stands to the right of a round place, and below a streak.
  return within({ ...from, radius_mm: from.radius_mm + (Math.abs(across) > Math.abs(down) ? across : down) });
}

function within(of: Moved): Moved {
  const to = (key: keyof Moved): number => toStep(limitsOf(`faults.${key}`), of[key]);
  return { x_mm: to('x_mm'), y_mm: to('y_mm'), radius_mm: to('radius_mm') };
}
