import { useEffect, useRef, useState } from 'preact/hooks';
import { PICTURES } from '../../store/files.ts';
import { busy, drawPatches, findPlate, getReady, patchesAt, photo, readPicture } from './stepPlate.ts';
import { onBench } from './kept.ts';
import { Corners } from '../../ui/Corners.tsx';
import { greyAfter, type Grey, GreyEntries, greyNumbers, MOST_GREYS, soundGrey } from '../../ui/KnownGreys.tsx';
import type { Place } from '../../ui/pointer.ts';
import { opened, pixelsOf, unreadable } from '../../store/opened.ts';
import { wordsOf } from '../../engine/workerClient.ts';

/** Longest side looked at, pixels. */
const LONGEST = 3200;

interface Shown { canvas: HTMLCanvasElement; name: string }

/** Outlines of four places from a row of numbers. */
function outlines(numbers: number[]): Place[][] {
  const places = Array.from({ length: numbers.length / 2 }, (_, i) => ({ x: numbers[2 * i] ?? 0, y: numbers[2 * i + 1] ?? 0 }));
  return Array.from({ length: places.length / 4 }, (_, i) => places.slice(4 * i, 4 * i + 4));
}

/** A scan or photograph of the print: its corners are found, or set by hand, its steps read by the program. */
export function FromPicture() {
  const input = useRef<HTMLInputElement>(null);
  const [shown, setShown] = useState<Shown | null>(null);
  const [failed, setFailed] = useState('');
  const [places, setPlaces] = useState<Place[]>([]);
  const [greys, setGreys] = useState<Grey[]>([]);
  /** What is said of finding the plate. */
  const [sought, setSought] = useState('');
  /** The picture whose marks nobody has moved yet: the plate that is found may move them. */
  const untouched = useRef<HTMLCanvasElement | null>(null);
  const move = (next: Place[]): void => {
    untouched.current = null;
    setSought('');
    setPlaces(next);
  };
  const steps = onBench.value.steps;
  useEffect(() => drawPatches(places, steps), [places, steps]);
  const take = (file: File | undefined): void => {
    if (!file) return;
    opened(file, LONGEST).then(({ canvas }) => {
      const [w, h] = [canvas.width, canvas.height];
      photo.value = null;
      getReady();
      setShown({ canvas, name: file.name });
      setFailed('');
      setPlaces([[0.1, 0.2], [0.9, 0.2], [0.9, 0.8], [0.1, 0.8]].map(([x = 0, y = 0]) => ({ x: x * w, y: y * h })));
      setGreys([]);
      untouched.current = canvas;
      setSought('Looking for the plate …');
      const pixels = pixelsOf(canvas);
      if (pixels) {
        findPlate(pixels, w, steps).then((corners) => {
          if (untouched.current !== canvas) return;
          setPlaces(corners);
          setSought('The plate is found. Do the four marks sit on its corners, 1 at the top left of the print?');
        }, (error: unknown) => { if (untouched.current === canvas) setSought(wordsOf(error)); });
      }
    }, (error: unknown) => setFailed(unreadable(file.name, error)));
  };
  const sound = greys.every(soundGrey);
  const look = (at: Place[] = places): void => {
    const canvas = shown?.canvas;
    const pixels = canvas && pixelsOf(canvas);
    if (!canvas || !pixels) return;
    void readPicture(pixels, canvas.width, at.flatMap(({ x, y }) => [x, y]), greyNumbers(greys));
  };
  const turn = (): void => {
    const next = [...places.slice(2), ...places.slice(0, 2)];
    setPlaces(next);
    look(next);
  };
  const setGrey = (grey: number, next: Partial<Grey>): void => setGreys(greys.map((old, i) => (i === grey ? { ...old, ...next } : old)));
  const found = photo.value;
  return (
    <div class="calibrate-picture">
      <input ref={input} type="file" accept={PICTURES} class="unseen" tabIndex={-1} aria-label="Picture of the print"
        onChange={(event) => { take(event.currentTarget.files?.[0]); event.currentTarget.value = ''; }} />
      <p class="acts">
        <button type="button" class="act" onClick={() => input.current?.click()}>{shown ? 'Another picture…' : 'Choose the picture…'}</button>
        {shown && <span class="unit">{shown.name}</span>}
      </p>
      {failed && <p class="problem" role="alert">{failed}</p>}
      {shown && (
        <>
          <p class="section-why">
            The four marks belong on the corners of the plate, 1 at the top left of the print where its palest step is. Draw those that are off; arrow keys move a mark by a pixel, with Shift by ten.
          </p>
          {sought && <p class="section-why" role="status">{sought}</p>}
          <Corners canvas={shown.canvas} places={places} onPlaces={move} greys={greys.map(({ at }) => at)} onGrey={(grey, at) => setGrey(grey, { at })}
            patches={outlines(patchesAt.value)} label={`The picture of the print with ${steps} steps`} />
          <p class="section-why">
            The outlines show where each step is read. A grey scale beside the print, bought or printed and read, tells what this camera does to tones: add its greys, two or more. One known black alone tells
            of haze. With nothing known the limits grow wider, as they must.
          </p>
          <GreyEntries greys={greys} onChange={setGreys} />
          <p class="acts">
            <button type="button" class="act" disabled={greys.length >= MOST_GREYS} onClick={() => setGreys([...greys, greyAfter(greys, shown.canvas)])}>Add a known grey</button>
            <button type="button" class="act" disabled={busy.value || !sound} onClick={() => look()}>Read the steps</button>
          </p>
          {found && (
            <p role="status">
              Read. The light fell off by {(found.uneven * 100).toFixed(0)} % over the plate and has been evened by the paper round it.
              {found.warnings.map((words) => <span key={words} class="problem"> {words}</span>)}
              {found.turned && <>{' '}<button type="button" class="act" onClick={turn}>Turn the corners and read again</button></>}
            </p>
          )}
        </>
      )}
    </div>
  );
}
