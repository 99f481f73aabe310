import { useEffect, useId, useRef } from 'preact/hooks';
import { cropAt, findWidest, inOrder, widest } from '../../store/crop.ts';
import { picture } from '../../store/picture.ts';
import { change, plan, usePlan } from '../../store/plan.ts';
import { toned } from '../../store/toning.ts';
import { useDrag } from '../../ui/pointer.ts';

/** Steps of the arrow keys, as a fraction of the picture. */
const STEP = 0.02;

/** What a frame is moved by or to: its middle and width. */
interface Wish { middleX: number; middleY: number; width: number }

/** Moves that have not been begun: of a drag only the last matters. */
let waiting: ((from: Wish) => Wish) | null = null;

/** Moves the frame from where the moves before have left it. */
function move(to: (from: Wish) => Wish): void {
  const next = waiting;
  waiting = next ? (from) => to(next(from)) : to;
  if (next) return;
  inOrder(async () => {
    const wish = waiting;
    waiting = null;
    if (!wish) return;
    const { left, top, width, height } = plan.value.picture.crop;
    const { middleX, middleY, width: wide } = wish({ middleX: left + width / 2, middleY: top + height / 2, width });
    const crop = await cropAt(plan.value, picture.value, middleX, middleY, wide);
    change('crop', { ...plan.value, picture: { ...plan.value.picture, crop } });
  });
}

/** Shows a picture as its tones are read and changed: the light of its colours in grey (Rec. 709), through the plan's curve. */
function TonedLook({ id, greys }: { id: string; greys: number[] }) {
  const table = greys.map((grey) => grey.toFixed(4)).join(' ');
  const light = '0.2126 0.7152 0.0722 0 0';
  return (
    <svg class="toned-look" aria-hidden="true" width="0" height="0">
      <filter id={id} x="0" y="0" width="1" height="1">
        <feColorMatrix color-interpolation-filters="linearRGB" type="matrix" values={`${light} ${light} ${light} 0 0 0 1 0`} />
        <feComponentTransfer color-interpolation-filters="sRGB">
          <feFuncR type="table" tableValues={table} />
          <feFuncG type="table" tableValues={table} />
          <feFuncB type="table" tableValues={table} />
        </feComponentTransfer>
      </filter>
    </svg>
  );
}

/** The whole picture with the frame of what goes on the plate; move it, or go closer. */
export function CropFrame() {
  const host = useRef<HTMLDivElement>(null);
  const id = useId();
  const now = picture.value;
  const { left, top, width, height } = usePlan((plan) => plan.picture.crop);
  const middleX = left + width / 2;
  const middleY = top + height / 2;

  useEffect(() => {
    const box = host.current;
    if (!box || !now.canvas) return;
    now.canvas.setAttribute('aria-hidden', 'true');
    box.prepend(now.canvas);
    return () => now.canvas?.remove();
  }, [now.canvas]);

  const wide_mm = usePlan((plan) => plan.plate.width_mm);
  const high_mm = usePlan((plan) => plan.plate.height_mm);
  useEffect(() => {
    if (now.canvas) findWidest(plan.value, now).catch(() => undefined);
  }, [now.canvas, now.width, now.height, wide_mm, high_mm]);

  const grip = useDrag<{ x: number; y: number; middleX: number; middleY: number }>({
    move: (from, event) => {
      const box = host.current?.getBoundingClientRect();
      if (!box) return;
      const to = { middleX: from.middleX + (event.clientX - from.x) / box.width, middleY: from.middleY + (event.clientY - from.y) / box.height };
      move(({ width: kept }) => ({ ...to, width: kept }));
    },
  });
  const greys = toned.value?.greys ?? [];
  const look = greys.length > 0 ? `url(#${id})` : '';
  useEffect(() => {
    if (now.canvas) now.canvas.style.filter = look;
  }, [now.canvas, look]);
  if (!now.canvas) return null;

  const share = width / widest.value;
  const closer = (factor: number): void => move((from) => ({ ...from, width: from.width * factor }));
  const key = (event: KeyboardEvent): void => {
    const moves: Record<string, [number, number]> = {
      ArrowLeft: [-STEP, 0], ArrowRight: [STEP, 0], ArrowUp: [0, -STEP], ArrowDown: [0, STEP],
    };
    const step = moves[event.key];
    if (step) move((from) => ({ ...from, middleX: from.middleX + step[0], middleY: from.middleY + step[1] }));
    else if (event.key === '+' || event.key === '=') closer(0.9);
    else if (event.key === '-') closer(1 / 0.9);
    else return;
    event.preventDefault();
  };

  return (
    <div class="crop">
      <div class="crop-picture" ref={host}>
        <div class="crop-frame" role="group" tabIndex={0}
          aria-label="Part of the picture that goes on the plate. Arrow keys move it, plus and minus change its size."
          style={{ left: `${left * 100}%`, top: `${top * 100}%`, width: `${width * 100}%`, height: `${height * 100}%` }}
          onKeyDown={key}
          {...grip((event) => ({ x: event.clientX, y: event.clientY, middleX, middleY }))}
          onWheel={(event) => { if (event.ctrlKey || event.altKey) { event.preventDefault(); closer(event.deltaY > 0 ? 1.06 : 1 / 1.06); } }} />
      </div>
      {greys.length > 0 && <TonedLook id={id} greys={greys} />}
      <label class="crop-size">
        <span>Crop</span>
        <input type="range" min={5} max={100} step={1} value={Math.round(share * 100)} aria-valuetext={`${Math.round(share * 100)} % of the widest`}
          onInput={(event) => { const wish = widest.value * (Number(event.currentTarget.value) / 100); move((from) => ({ ...from, width: wish })); }} />
        <span class="number">{Math.round(share * 100)}</span> <span class="unit">%</span>
      </label>
    </div>
  );
}
