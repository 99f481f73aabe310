import { useEffect, useRef, useState } from 'preact/hooks';
import type { GroundSeen } from '../../engine/protocol.ts';
import { PICTURES } from '../../store/files.ts';
import { explained } from '../../store/settings.ts';
import { pictures, put, setPicture, type Place, type RosinTone } from './ownGround.ts';
import { Words } from '../../ui/ChoiceEntry.tsx';
import { opened, unreadable } from './opened.ts';

/** Longest side looked at, pixels. */
const LONGEST = 2400;
/** Farthest that the level can be moved, and its step, in shares of the distance of the two tones. */
const FARTHEST = 0.4;
const STEP = 0.05;

const TONES: [RosinTone, string][] = [['found', 'find out'], ['lighter', 'the lighter'], ['darker', 'the darker']];

const percent = (share: number): string => `${(share * 100).toFixed(0)} %`;

/** One picture of the ground: chosen, its width typed, what was read shown over it. */
export function GroundPicture({ place, title }: { place: Place; title: string }) {
  const input = useRef<HTMLInputElement>(null);
  const [failed, setFailed] = useState('');
  const [tinted, setTinted] = useState(true);
  const now = pictures.value[place];
  const take = (file: File | undefined): void => {
    if (!file) return;
    opened(file, LONGEST).then((canvas) => { setFailed(''); put(place, file.name, canvas); }, () => setFailed(unreadable(file.name)));
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
      {now && (
        <>
          <p class="calibrate-line">
            <label>It shows <input class="entry-value back-entry" inputMode="decimal" aria-label={`${title}: copper across the picture, mm`} value={now.wide}
              onInput={(event) => setPicture(place, { wide: event.currentTarget.value })} /> <span class="unit">mm of copper from left to right</span></label>
          </p>
          <div role="radiogroup" aria-label={`${title}: tone of the rosin`} class="calibrate-line">
            <span class="back-word" aria-hidden="true">Rosin is</span>
            <Words name={`ground-tone-${place}`} options={TONES} chosen={now.rosin} onChoose={(word) => setPicture(place, { rosin: TONES.find(([one]) => one === word)?.[0] ?? 'found' })} />
          </div>
          {now.seen && (
            <>
              <Seen canvas={now.canvas} seen={now.seen} tinted={tinted} title={title} />
              <p class="calibrate-line">
                <label><input type="checkbox" checked={tinted} onChange={(event) => setTinted(event.currentTarget.checked)} /> tint what was taken for rosin</label>
                <label class="ground-level">less <input type="range" min={-FARTHEST} max={FARTHEST} step={STEP} value={now.nudge} aria-label={`${title}: level between rosin and copper`}
                  aria-valuetext={now.nudge === 0 ? 'as found' : `${percent(Math.abs(now.nudge))} towards ${now.nudge > 0 ? 'more' : 'less'} rosin`}
                  onChange={(event) => setPicture(place, { nudge: Number(event.currentTarget.value) })} /> more</label>
              </p>
              <Told seen={now.seen} />
            </>
          )}
          {now.busy && <p class="finding" role="status">One moment</p>}
          {now.failed && <p class="problem" role="alert">{now.failed}</p>}
        </>
      )}
    </div>
  );
}

/** The numbers, and what deserves a look. */
function Told({ seen }: { seen: GroundSeen }) {
  return (
    <div role="status">
      <p class="ground-told">
        Rosin, the {seen.rosin_lighter ? 'lighter' : 'darker'} tone, covers <b>{percent(seen.cover)}</b> ({percent(seen.cover_low)} to {percent(seen.cover_high)} with the level a little off),
        in <b>{seen.islands_per_mm2.toFixed(0)} islands per mm²</b> ({seen.islands.toFixed(0)} counted)
        {seen.median_width_um !== null && <>, half of them wider than <b>{seen.median_width_um.toFixed(0)} µm</b></>}.
      </p>
      {seen.warnings.map((one) => <p key={one.code} class="problem">{explained(one)}</p>)}
    </div>
  );
}

/** The picture with what was taken for rosin tinted. */
function Seen({ canvas, seen, tinted, title }: { canvas: HTMLCanvasElement; seen: GroundSeen; tinted: boolean; title: string }) {
  const shown = useRef<HTMLCanvasElement>(null);
  const { width: wide, height: high } = canvas;
  useEffect(() => {
    const context = shown.current?.getContext('2d', { willReadFrequently: true });
    if (!context) return;
    context.drawImage(canvas, 0, 0, wide, high);
    if (!tinted) return;
    const pixels = context.getImageData(0, 0, wide, high);
    seen.rosin.forEach((rosin, i) => {
      if (rosin === 1) [200, 80, 30].forEach((code, k) => { pixels.data[4 * i + k] = 0.4 * (pixels.data[4 * i + k] ?? 0) + 0.6 * code; });
    });
    context.putImageData(pixels, 0, 0);
  }, [canvas, seen, tinted, wide, high]);
  return <canvas ref={shown} class="ground-seen" width={wide} height={high} role="img" aria-label={`${title}, ${tinted ? 'what was taken for rosin tinted' : 'as it was taken'}`} />;
}
