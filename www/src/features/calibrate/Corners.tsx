import type { Place } from '../../ui/pointer.ts';
import { Marks } from './Marks.tsx';

interface Props {
  canvas: HTMLCanvasElement;
  places: Place[]; onPlaces: (next: Place[]) => void;
  black: Place | null; onBlack: (next: Place) => void;
  steps: number;
}

const NAMES = ['top left', 'top right', 'bottom right', 'bottom left'];

/** The picture with a mark on each corner of the plate, and one on the known black. */
export function Corners({ canvas, places, onPlaces, black, onBlack, steps }: Props) {
  const marks = [...places.map((place, i) => ({ place, word: String(i + 1), name: `Corner ${i + 1}, ${NAMES[i] ?? ''}` })),
    ...(black ? [{ place: black, word: 'K', name: 'Known black' }] : [])];
  return (
    <Marks canvas={canvas} label={`The picture of the print with ${steps} steps`} marks={marks} lines={[places]}
      onMove={(mark, to) => { if (mark < places.length) onPlaces(places.map((old, i) => (i === mark ? to : old))); else onBlack(to); }} />
  );
}
