import { useRef, useState } from 'preact/hooks';
import { PICTURES } from '../../store/files.ts';
import { setScale, spots, type GroundPicture, type ScaleBy, type Which } from './ownGround.ts';
import { conversion } from '../../store/settings.ts';
import { Words } from '../../ui/ChoiceEntry.tsx';
import type { Place } from '../../ui/pointer.ts';
import { Marks } from '../../ui/Marks.tsx';
import { opened, unreadable } from '../../store/opened.ts';

const WAYS: [ScaleBy, string][] = [['ruler', 'two marks on a ruler'], ['pixel', 'µm per pixel'], ['across', 'width of the picture']];
/** What stands on the two marks. */
export const ON_RULER = ['A', 'B'];

/** A mark is drawn, or moved by a key. */
export function rulerMoved(which: Which, { scale: { marks: [a, b], set } }: GroundPicture, mark: number, to: Place): void {
  setScale(which, mark === 0 ? { marks: [to, b], set: [true, set[1]] } : { marks: [a, to], set: [set[0], true] });
}

/** A press on the ruler sets A first, then B; after that the mark that lies nearer. */
export function rulerPressed(which: Which, now: GroundPicture, at: Place): void {
  const { marks: [a, b], set } = now.scale;
  const far = (mark: Place): number => Math.hypot(mark.x - at.x, mark.y - at.y);
  const nearer = far(a) <= far(b) ? 0 : 1;
  rulerMoved(which, now, set[0] ? (set[1] ? nearer : 1) : 0, at);
}

/** How the scale of a picture is told. */
export function GroundScale({ which, title, now }: { which: Which; title: string; now: GroundPicture }) {
  const { scale, canvas, seen, times } = now;
  const { unit } = conversion('mm', 2);
  return (
    <>
      <div role="radiogroup" aria-label={`${title}: how its scale is told`} class="calibrate-line">
        <span class="back-word" aria-hidden="true">Scale by</span>
        <Words name={`ground-scale-${which}`} options={WAYS} chosen={scale.by} onChoose={(word) => setScale(which, { by: WAYS.find(([one]) => one === word)?.[0] ?? 'ruler' })} />
      </div>
      {scale.by === 'ruler' && <OnRuler which={which} title={title} now={now} canvas={canvas} />}
      {scale.by === 'pixel' && (
        <p class="calibrate-line">
          <label>A pixel of the file is <input class="entry-value back-entry" inputMode="decimal" aria-label={`${title}: µm per pixel`} value={scale.pixel}
            onInput={(event) => setScale(which, { pixel: event.currentTarget.value })} /> <span class="unit">µm of copper</span></label>
        </p>
      )}
      {scale.by === 'across' && (
        <p class="calibrate-line">
          <label>It shows <input class="entry-value back-entry" inputMode="decimal" aria-label={`${title}: copper across the picture, ${unit}`} value={scale.across}
            onInput={(event) => setScale(which, { across: event.currentTarget.value })} /> <span class="unit">{unit} of copper from left to right</span></label>
        </p>
      )}
      {seen && scale.by !== 'pixel' && <p class="unit">A pixel of the file is {(seen.px_um / times).toPrecision(3)} µm of copper.</p>}
    </>
  );
}

/** Two marks on a ruler that lies in the picture, or in one of its own. */
function OnRuler({ which, title, now, canvas }: { which: Which; title: string; now: GroundPicture; canvas: HTMLCanvasElement }) {
  const input = useRef<HTMLInputElement>(null);
  const [failed, setFailed] = useState('');
  const { ruler, marks, set, length } = now.scale;
  const { unit } = conversion('mm', 2);
  const take = (file: File | undefined): void => {
    if (!file) return;
    opened(file, Math.max(canvas.width, canvas.height)).then((of) => {
      const same = of.canvas.width === canvas.width && of.canvas.height === canvas.height && Math.abs(of.times - now.times) < 1e-6;
      setFailed(same ? '' : `“${file.name}” has not the size of the picture above: take both with one camera, at the same zoom, and crop neither.`);
      if (same) setScale(which, { ruler: of.canvas, marks: spots(of.canvas, 0.25), set: [false, false] });
    }, (error: unknown) => setFailed(unreadable(file.name, error)));
  };
  const name = (i: number): string => `${title}: mark ${ON_RULER[i] ?? ''} on the ruler`;
  return (
    <>
      <p class="unit">
        Press on one line of the ruler{ruler ? '' : ' or of the loupe’s own scale'}, then on another far from it. Marks can be drawn, and moved with the arrow keys: by a pixel, with Shift by ten. Small in
        the corner stands what lies under the mark.
      </p>
      <p class="calibrate-line">
        <label>From A to B <input class="entry-value back-entry" inputMode="decimal" aria-label={`${title}: length between the marks, ${unit}`} value={length}
          onInput={(event) => setScale(which, { length: event.currentTarget.value })} /> <span class="unit">{unit}</span></label>
        <span class="finding" role="status">{set[0] ? (set[1] ? '' : 'Press on the second line.') : 'Press on the first line.'}</span>
      </p>
      <input ref={input} type="file" accept={PICTURES} class="unseen" tabIndex={-1} aria-label={`${title}: picture of the ruler`}
        onChange={(event) => { take(event.currentTarget.files?.[0]); event.currentTarget.value = ''; }} />
      <p class="acts">
        {ruler
          ? <button type="button" class="quiet" onClick={() => setScale(which, { ruler: null, marks: spots(canvas, 0.25), set: [false, false] })}>the ruler lies in the picture itself</button>
          : <button type="button" class="quiet" onClick={() => input.current?.click()}>the ruler has a picture of its own…</button>}
      </p>
      {failed && <p class="problem" role="alert">{failed}</p>}
      {ruler && (
        <Marks canvas={ruler} label={`${title}: the ruler`} marks={marks.map((place, i) => ({ place, word: ON_RULER[i] ?? '', name: name(i) }))} lines={[marks]}
          onMove={(mark, to) => rulerMoved(which, now, mark, to)} onPress={(at) => rulerPressed(which, now, at)} />
      )}
    </>
  );
}
