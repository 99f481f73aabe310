import { useEffect, useRef, useState } from 'preact/hooks';
import { PICTURES } from '../../store/files.ts';
import { busy, getReady, onBench, photo, readPicture } from './stepPlate.ts';
import { askTones, densityWords } from '../../store/tones.ts';
import { Corners } from './Corners.tsx';
import type { Place } from '../../ui/pointer.ts';
import { opened, unreadable } from './opened.ts';

/** Longest side looked at, pixels. */
const LONGEST = 3200;

interface Shown { canvas: HTMLCanvasElement; name: string }

/** A scan or photograph of the print: its corners are set by hand, its steps read by the program. */
export function FromPicture() {
  const input = useRef<HTMLInputElement>(null);
  const [shown, setShown] = useState<Shown | null>(null);
  const [failed, setFailed] = useState('');
  const [places, setPlaces] = useState<Place[]>([]);
  const [blackAt, setBlackAt] = useState<Place | null>(null);
  const [blackL, setBlackL] = useState('22');
  useEffect(askTones, []);
  const take = (file: File | undefined): void => {
    if (!file) return;
    opened(file, LONGEST).then(({ canvas }) => {
      const [w, h] = [canvas.width, canvas.height];
      photo.value = null;
      getReady();
      setShown({ canvas, name: file.name });
      setFailed('');
      setPlaces([[0.1, 0.2], [0.9, 0.2], [0.9, 0.8], [0.1, 0.8]].map(([x = 0, y = 0]) => ({ x: x * w, y: y * h })));
      setBlackAt(null);
    }, (error: unknown) => setFailed(unreadable(file.name, error)));
  };
  const l = Number(blackL.replace(',', '.'));
  const soundL = blackL.trim() !== '' && l >= 0 && l <= 60;
  const look = (): void => {
    const canvas = shown?.canvas;
    const pixels = canvas?.getContext('2d', { willReadFrequently: true })?.getImageData(0, 0, canvas.width, canvas.height);
    if (!canvas || !pixels) return;
    const black = blackAt && soundL ? [blackAt.x, blackAt.y, l] : [];
    void readPicture(new Uint8Array(pixels.data.buffer), canvas.width, places.flatMap(({ x, y }) => [x, y]), black);
  };
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
            Draw the four marks to the corners of the plate, 1 at the top left of the print where its palest step is. Arrow keys move a mark by a pixel, with Shift by ten.
          </p>
          <Corners canvas={shown.canvas} places={places} onPlaces={setPlaces} black={blackAt} onBlack={setBlackAt} steps={onBench.value.steps} />
          <p class="calibrate-line">
            <label><input type="checkbox" checked={blackAt !== null}
              onChange={(event) => {
                const [a, , c] = places;
                setBlackAt(event.currentTarget.checked && a && c ? { x: (a.x + c.x) / 2, y: (a.y + c.y) / 2 } : null);
              }} /> I know one black</label>
            {blackAt && (
              <label>its L* <input class="entry-value back-entry" inputMode="decimal" aria-label="L* of the known black" value={blackL} onInput={(event) => setBlackL(event.currentTarget.value)} />
                {soundL ? <span class="unit"> density {densityWords(l)}; draw the mark K onto it: the darkest step, or a black card beside the print</span> : <span class="problem"> give 0 to 60</span>}
              </label>
            )}
          </p>
          <p class="acts"><button type="button" class="act" disabled={busy.value || (blackAt !== null && !soundL)} onClick={look}>Read the steps</button></p>
          {found && (
            <p role="status">
              Read. The light fell off by {(found.uneven * 100).toFixed(0)} % over the plate and has been evened by the paper round it.
              {found.warnings.map((words) => <span key={words} class="problem"> {words}</span>)}
            </p>
          )}
        </>
      )}
    </div>
  );
}
