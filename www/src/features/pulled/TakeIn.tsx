import { choosePhotographs } from '../../store/files.ts';
import { Corners } from '../../ui/Corners.tsx';
import { greyAfter, GreyEntries, MOST_GREYS, soundGrey } from '../../ui/KnownGreys.tsx';
import { plan } from '../../store/plan.ts';
import { readPhotograph } from '../../store/recorded.ts';
import type { Pulled } from './asking.ts';
import { doing, findAnew, moveCorners, read, refusal, setGreys, takeFile } from './pulled.ts';

function choose(camera: boolean): void {
  choosePhotographs({ camera, several: false }, ([file]) => {
    if (!file) return;
    readPhotograph.value = null;
    void takeFile(file);
  });
}

/** Where a photograph comes in; what it is, once one is there. */
export function TakeIn({ of }: { of: Pulled | null }) {
  const { title, plate, paper } = plan.value;
  const margin_mm = Math.min(paper.margin_mm, 0.3 * Math.min(plate.width_mm, plate.height_mm));
  const [wide, high] = [plate.width_mm + 2 * margin_mm, plate.height_mm + 2 * margin_mm];
  return (
    <section class="pulled-in" data-there={of !== null} aria-label="The photograph">
      {!of && (
        <>
          <p class="pulled-lead">Lay a photograph of a proof pulled from “{title || 'this plan'}” here, and see how it differs from the plan, why, and what to do.</p>
          <ul class="pulled-how">
            <li>Lay the print flat, with 15 mm of clean paper or more showing all round the plate mark.</li>
            <li>Even light from both sides; straight from above; no flash, no filter, no automatic corrections.</li>
            <li>A grey scale beside the sheet, if you have one: it tells what the camera does to tones, which are then read ten times as closely, and the shop learns from this proof what it would learn from an instrument.</li>
          </ul>
        </>
      )}
      <p class="acts">
        <button type="button" class="act" onClick={() => choose(false)}>{of ? 'Another photograph…' : 'Choose the photograph…'}</button>
        <button type="button" class="act pulled-camera" onClick={() => choose(true)}>Take one with the camera…</button>
        {of ? <span class="unit">“{of.photo.name}”, of {of.subject.title}</span> : <span class="unit">or drop it anywhere on this page</span>}
      </p>
      {refusal.value && <p class="problem" role="alert">{refusal.value}</p>}
      {!of && (
        <button type="button" class="pulled-empty" onClick={() => choose(false)}>
          <svg viewBox={`0 0 ${wide} ${high}`} style={{ '--ratio': String(wide / high) }} aria-hidden="true">
            <rect class="pulled-bare" width={wide} height={high} />
            <rect class="pulled-mark" x={margin_mm} y={margin_mm} width={plate.width_mm} height={plate.height_mm} rx={Math.max(1, plate.corner_radius_mm)} vector-effect="non-scaling-stroke" />
          </svg>
          <span>the photograph goes here</span>
        </button>
      )}
    </section>
  );
}

/** The photograph as it was taken, with marks on the corners of the plate and on greys that are known. */
export function PutRight({ of }: { of: Pulled }) {
  const { photo: { canvas }, places, greys, byHand, failed } = of;
  const busy = doing.value !== '';
  return (
    <details class="pulled-right" open={failed !== ''}>
      <summary>The corners in the photograph, and greys that are known</summary>
      <p class="section-why">
        The four marks belong on the corners of the plate mark, 1 at the print’s top left. Draw those that are off; arrow keys move a mark by a pixel, with Shift by ten. If greys beside the sheet are known, add them and
        type what each reads: two or more tell the camera’s tones, one dark one tells of haze.
      </p>
      <Corners canvas={canvas} places={places} onPlaces={moveCorners} greys={greys.map(({ at }) => at)} label="The photograph of the proof"
        onGrey={(grey, at) => setGreys(greys.map((old, i) => (i === grey ? { ...old, at } : old)))} />
      <GreyEntries greys={greys} onChange={setGreys} />
      <p class="acts">
        <button type="button" class="act" disabled={greys.length >= MOST_GREYS} onClick={() => setGreys([...greys, greyAfter(greys, canvas)])}>Add a known grey</button>
        <button type="button" class="act" disabled={busy || !greys.every(soundGrey)} onClick={() => void read()}>{byHand ? 'Read it at these corners' : 'Read it with these'}</button>
        {byHand && <button type="button" class="quiet" disabled={busy} onClick={findAnew}>find the corners anew</button>}
      </p>
    </details>
  );
}
