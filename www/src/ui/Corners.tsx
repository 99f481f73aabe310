import { greyWord } from './KnownGreys.tsx';
import type { Place } from './pointer.ts';
import { Marks } from './Marks.tsx';

interface Props {
  canvas: HTMLCanvasElement;
  places: Place[]; onPlaces: (next: Place[]) => void;
  greys: Place[]; onGrey: (grey: number, next: Place) => void;
  /** Outlines of the patches, where it is a step plate’s print. */
  patches?: Place[][];
  label: string;
}

const NAMES = ['top left', 'top right', 'bottom right', 'bottom left'];

/** The picture with a mark on each corner of the plate and on each known grey, and the patches drawn where they are read. */
export function Corners({ canvas, places, onPlaces, greys, onGrey, patches = [], label }: Props) {
  const marks = [...places.map((place, i) => ({ place, word: String(i + 1), name: `Corner ${i + 1}, ${NAMES[i] ?? ''}` })),
    ...greys.map((place, i) => ({ place, word: greyWord(i), name: `Known grey ${greyWord(i)}` }))];
  const middles = patches.map((patch, i) => ({
    at: { x: patch.reduce((sum, { x }) => sum + x, 0) / patch.length, y: patch.reduce((sum, { y }) => sum + y, 0) / patch.length }, word: String(i + 1),
  }));
  return (
    <Marks canvas={canvas} label={label} marks={marks} lines={[places, ...patches]} words={middles}
      onMove={(mark, to) => { if (mark < places.length) onPlaces(places.map((old, i) => (i === mark ? to : old))); else onGrey(mark - places.length, to); }} />
  );
}
