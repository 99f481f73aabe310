import { useEffect, useRef } from 'preact/hooks';
import { type Place, useDrag } from './pointer.ts';
import './marks.css?sheet';

/** A mark that is drawn with a finger or moved with the arrow keys: its place, what stands on it, and what it is called. */
export interface Mark { place: Place; word: string; name: string }

interface Props {
  canvas: HTMLCanvasElement; label: string; class?: string;
  marks: Mark[]; onMove: (mark: number, to: Place) => void;
  /** Places joined by lines, round. */
  lines: Place[][];
  /** Words on the picture. */
  words?: { at: Place; word: string }[];
  /** A press beside the marks. */
  onPress?: (at: Place) => void;
}

/** Widest that the picture is shown, pixels of its own. */
const SHOWN = 1400;

/** A picture with marks on it. */
export function Marks({ canvas, label, class: also = '', marks, onMove, lines, words = [], onPress }: Props) {
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
    onMove(mark, next);
  };
  /** Where in the picture a finger is. */
  const at = (event: MouseEvent): Place | null => {
    const box = shown.current?.getBoundingClientRect();
    return box ? { x: ((event.clientX - box.left) / box.width) * canvas.width, y: ((event.clientY - box.top) / box.height) * canvas.height } : null;
  };
  const grip = useDrag<number>({
    move: (mark, event) => {
      const to = at(event);
      if (to) put(mark, to);
    },
  });
  const press = (event: MouseEvent): void => {
    const to = at(event);
    if (onPress && to) { look(kept(to)); onPress(kept(to)); }
  };
  const key = (mark: number, from: Place, event: KeyboardEvent): void => {
    const by = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    if (!by) return;
    event.preventDefault();
    const far = event.shiftKey ? 10 : 1;
    put(mark, { x: from.x + (by[0] ?? 0) * far, y: from.y + (by[1] ?? 0) * far });
  };
  const percent = (part: number, whole: number): string => `${((100 * part) / whole).toFixed(3)}%`;
  return (
    <div class={`corners ${also}`} style={{ '--ratio': String(canvas.width / canvas.height) }}>
      <canvas ref={shown} class="corners-picture" width={wide} height={high} role="img" aria-label={label} onClick={press} />
      <svg class="corners-lines" viewBox={`0 0 ${canvas.width} ${canvas.height}`} preserveAspectRatio="none" aria-hidden="true">
        {lines.map((line, i) => <polygon key={i} points={line.map(({ x, y }) => `${x},${y}`).join(' ')} vector-effect="non-scaling-stroke" />)}
        {words.map(({ at: { x, y }, word }) => <text key={word} x={x} y={y} font-size={canvas.width / 36} text-anchor="middle" dominant-baseline="central">{word}</text>)}
      </svg>
      {marks.map(({ place, word, name }, mark) => (
        <button key={word} type="button" class="corner" aria-label={`${name}: ${place.x.toFixed(0)}, ${place.y.toFixed(0)}`}
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
