import { useEffect, useRef } from 'preact/hooks';
import { useDrag } from '../../ui/pointer.ts';

export interface Place { x: number; y: number }

interface Props {
  canvas: HTMLCanvasElement;
  places: Place[]; onPlaces: (next: Place[]) => void;
  black: Place | null; onBlack: (next: Place) => void;
  steps: number;
}

/** Widest that the picture is shown, pixels of its own. */
const SHOWN = 1400;
const NAMES = ['top left', 'top right', 'bottom right', 'bottom left'];

/** The picture with a mark on each corner of the plate, and one on the known black. */
export function Corners({ canvas, places, onPlaces, black, onBlack, steps }: Props) {
  const shown = useRef<HTMLCanvasElement>(null);
  const glass = useRef<HTMLCanvasElement>(null);
  const scale = Math.min(1, SHOWN / Math.max(canvas.width, canvas.height));
  const [wide, high] = [Math.round(canvas.width * scale), Math.round(canvas.height * scale)];
  useEffect(() => {
    shown.current?.getContext('2d')?.drawImage(canvas, 0, 0, wide, high);
  }, [canvas, wide, high]);
  const kept = ({ x, y }: Place): Place => ({ x: Math.min(canvas.width, Math.max(0, x)), y: Math.min(canvas.height, Math.max(0, y)) });
  /** Under the finger, larger: a pixel of the picture counts. */
  const look = ({ x, y }: Place): void => {
    const context = glass.current?.getContext('2d');
    if (!context) return;
    const side = context.canvas.width;
    context.imageSmoothingEnabled = false;
    context.fillStyle = '#888';
    context.fillRect(0, 0, side, side);
    context.drawImage(canvas, x - side / 8, y - side / 8, side / 4, side / 4, 0, 0, side, side);
    context.strokeStyle = '#c8501e';
    context.beginPath();
    context.moveTo(side / 2, 0); context.lineTo(side / 2, side); context.moveTo(0, side / 2); context.lineTo(side, side / 2);
    context.stroke();
  };
  const put = (mark: number, to: Place): void => {
    const next = kept(to);
    look(next);
    if (mark === 4) onBlack(next);
    else onPlaces(places.map((old, i) => (i === mark ? next : old)));
  };
  const marks = [...places.map((place, i) => ({ place, mark: i, word: String(i + 1), name: `Corner ${i + 1}, ${NAMES[i] ?? ''}` })),
    ...(black ? [{ place: black, mark: 4, word: 'K', name: 'Known black' }] : [])];
  const grip = useDrag<number>({
    move: (mark, event) => {
      const box = shown.current?.getBoundingClientRect();
      if (box) put(mark, { x: ((event.clientX - box.left) / box.width) * canvas.width, y: ((event.clientY - box.top) / box.height) * canvas.height });
    },
  });
  const key = (mark: number, at: Place, event: KeyboardEvent): void => {
    const by = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    if (!by) return;
    event.preventDefault();
    const far = event.shiftKey ? 10 : 1;
    put(mark, { x: at.x + (by[0] ?? 0) * far, y: at.y + (by[1] ?? 0) * far });
  };
  const percent = (part: number, whole: number): string => `${((100 * part) / whole).toFixed(3)}%`;
  return (
    <div class="corners" style={{ '--ratio': String(canvas.width / canvas.height) }}>
      <canvas ref={shown} class="corners-picture" width={wide} height={high} role="img" aria-label={`The picture of the print with ${steps} steps`} />
      <svg class="corners-lines" viewBox={`0 0 ${canvas.width} ${canvas.height}`} preserveAspectRatio="none" aria-hidden="true">
        <polygon points={places.map(({ x, y }) => `${x},${y}`).join(' ')} vector-effect="non-scaling-stroke" />
      </svg>
      {marks.map(({ place, mark, word, name }) => (
        <button key={mark} type="button" class="corner" aria-label={`${name}: ${place.x.toFixed(0)}, ${place.y.toFixed(0)}`}
          style={{ '--x': percent(place.x, canvas.width), '--y': percent(place.y, canvas.height) }}
          onKeyDown={(event) => key(mark, place, event)} onFocus={() => look(place)}
          {...grip(() => { look(place); return mark; })}>
          <span>{word}</span>
        </button>
      ))}
      <canvas ref={glass} class="corners-glass" width={96} height={96} aria-hidden="true" />
    </div>
  );
}
