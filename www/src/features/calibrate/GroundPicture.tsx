import { useMemo, useRef, useState } from 'preact/hooks';
import type { GroundSeen } from '../../engine/protocol.ts';
import { PICTURES } from '../../store/files.ts';
import { explained } from '../../store/settings.ts';
import { pictures, put, setPicture, spots, type GroundPicture as Shown, type RosinTone, type Which } from './ownGround.ts';
import { Words } from '../../ui/ChoiceEntry.tsx';
import { GroundScale, ON_RULER, rulerMoved, rulerPressed } from './GroundScale.tsx';
import { Marks } from '../../ui/Marks.tsx';
import { opened, unreadable } from '../../store/opened.ts';

/** Longest side looked at, pixels. */
const LONGEST = 2400;
/** Farthest that the level can be moved, and its step, in shares of the distance of the two tones. */
const FARTHEST = 0.4;
const STEP = 0.05;

const TONES: [RosinTone, string][] = [['found', 'find out'], ['lighter', 'the lighter'], ['darker', 'the darker']];

const percent = (share: number): string => `${(share * 100).toFixed(0)} %`;

/** One picture of the ground: chosen, its scale set, what was read shown over it. */
export function GroundPicture({ which, title }: { which: Which; title: string }) {
  const input = useRef<HTMLInputElement>(null);
  const [failed, setFailed] = useState('');
  const now = pictures.value[which];
  const take = (file: File | undefined): void => {
    if (!file) return;
    opened(file, LONGEST).then(({ canvas, times }) => { setFailed(''); put(which, file.name, canvas, times); }, (error: unknown) => setFailed(unreadable(file.name, error)));
  };
  return (
    <div class="ground-picture" role="group" aria-label={title}>
      <h4>{title}</h4>
      <input ref={input} type="file" accept={PICTURES} class="unseen" tabIndex={-1} aria-label={`${title}: picture`}
        onChange={(event) => { take(event.currentTarget.files?.[0]); event.currentTarget.value = ''; }} />
      <p class="acts">
        <button type="button" class="act" aria-label={`${title}: ${now ? 'another picture' : 'choose the picture'}`} onClick={() => input.current?.click()}>{now ? 'Another picture…' : 'Choose the picture…'}</button>
        {now && <span class="unit">{now.name}</span>}
      </p>
      {failed && <p class="problem" role="alert">{failed}</p>}
      {now && <Reading which={which} title={title} now={now} />}
    </div>
  );
}

/** How the picture is read, and what was read. */
function Reading({ which, title, now }: { which: Which; title: string; now: Shown }) {
  const [tinted, setTinted] = useState(true);
  const { canvas, scale, frame, seen } = now;
  const shown = useMemo(() => (seen && tinted ? tint(canvas, seen) : canvas), [canvas, seen, tinted]);
  const ruler = scale.by === 'ruler' && !scale.ruler ? scale.marks : null;
  const corners = frame ?? [];
  const marks = [
    ...(ruler ? ruler.map((place, i) => ({ place, word: ON_RULER[i] ?? '', name: `${title}: mark ${ON_RULER[i] ?? ''} on the ruler` })) : []),
    ...corners.map((place, i) => ({ place, word: String(i + 1), name: `${title}: corner ${i + 1} of the part that is read` })),
  ];
  const move = (mark: number, to: { x: number; y: number }): void => {
    const first = marks.length - corners.length;
    if (mark < first) rulerMoved(which, now, mark, to);
    else if (frame) setPicture(which, { frame: mark === first ? [to, frame[1]] : [frame[0], to] });
  };
  const round = frame ? [{ x: frame[0].x, y: frame[0].y }, { x: frame[1].x, y: frame[0].y }, { x: frame[1].x, y: frame[1].y }, { x: frame[0].x, y: frame[1].y }] : [];
  return (
    <>
      <GroundScale which={which} title={title} now={now} />
      <Marks canvas={shown} class="ground-seen" label={`${title}, ${seen && tinted ? 'what was taken for rosin tinted' : 'as it was taken'}`} marks={marks} onMove={move}
        lines={[...(ruler ? [ruler] : []), round]} {...(ruler ? { onPress: (at) => rulerPressed(which, now, at) } : {})} />
      <p class="calibrate-line">
        <label><input type="checkbox" checked={frame !== null} onChange={(event) => setPicture(which, { frame: event.currentTarget.checked ? spots(canvas, 0.15) : null })} /> read only part of it</label>
        {seen && <label><input type="checkbox" checked={tinted} onChange={(event) => setTinted(event.currentTarget.checked)} /> tint what was taken for rosin</label>}
      </p>
      {frame && <p class="unit">Draw the marks 1 and 2 to two corners of the part that shows the ground, beside a ruler and inside a loupe’s black edge.</p>}
      <div role="radiogroup" aria-label={`${title}: tone of the rosin`} class="calibrate-line">
        <span class="back-word" aria-hidden="true">Rosin is</span>
        <Words name={`ground-tone-${which}`} options={TONES} chosen={now.rosin} onChoose={(word) => setPicture(which, { rosin: TONES.find(([one]) => one === word)?.[0] ?? 'found' })} />
      </div>
      {seen && (
        <>
          <p class="calibrate-line">
            <label class="ground-level">less <input type="range" min={-FARTHEST} max={FARTHEST} step={STEP} value={now.nudge} aria-label={`${title}: level between rosin and copper`}
              aria-valuetext={now.nudge === 0 ? 'as found' : `${percent(Math.abs(now.nudge))} towards ${now.nudge > 0 ? 'more' : 'less'} rosin`}
              onChange={(event) => setPicture(which, { nudge: Number(event.currentTarget.value) })} /> more rosin</label>
          </p>
          <Told seen={seen} />
        </>
      )}
      {now.busy && <p class="finding" role="status">One moment</p>}
      {now.failed && <p class="problem" role="alert">{now.failed}</p>}
    </>
  );
}

/** The numbers, and what deserves a look. */
function Told({ seen }: { seen: GroundSeen }) {
  return (
    <div role="status">
      <p class="ground-told">
        Rosin, the {seen.rosin_lighter ? 'lighter' : 'darker'} tone, covers <b>{percent(seen.cover)}</b> ({percent(seen.cover_low)} to {percent(seen.cover_high)} with the level a little off),
        in <b>{seen.islands_per_mm2.toFixed(0)} islands per mm²</b>
        {seen.median_width_um !== null && <>, half of them wider than <b>{seen.median_width_um.toFixed(0)} µm</b></>}.
      </p>
      <p class="unit">
        {seen.islands.toFixed(0)} islands were counted, {seen.seen_per_mm2.toFixed(0)} per mm². Gaps finer than about two pixels close in a picture, and what they part counts as one island: how many a
        sharper picture would show apart is calculated. Each island on the border counts for half.
      </p>
      {seen.warnings.map((one) => <p key={one.code} class="problem">{explained(one)}</p>)}
    </div>
  );
}

/** The picture with what was taken for rosin tinted. */
function tint(canvas: HTMLCanvasElement, { rosin, left, top, wide }: GroundSeen): HTMLCanvasElement {
  const shown = document.createElement('canvas');
  [shown.width, shown.height] = [canvas.width, canvas.height];
  const context = shown.getContext('2d', { willReadFrequently: true });
  if (!context) return canvas;
  context.drawImage(canvas, 0, 0);
  const pixels = context.getImageData(left, top, wide, rosin.length / wide);
  rosin.forEach((is, i) => {
    if (is === 1) [200, 80, 30].forEach((code, k) => { pixels.data[4 * i + k] = 0.4 * (pixels.data[4 * i + k] ?? 0) + 0.6 * code; });
  });
  context.putImageData(pixels, left, top);
  return shown;
}
