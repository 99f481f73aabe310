import { signal } from '@preact/signals';
import { inOrder, plateLikePicture } from '../../store/crop.ts';
import { spaceValues } from '../../engine/scheduler.ts';
import { choose, takeHarbour } from '../../store/fileActs.ts';
import { PICTURES } from '../../store/files.ts';
import { awaits, picture } from '../../store/picture.ts';
import { change, made, usePlan } from '../../store/plan.ts';
import { allSteps, pane } from '../../store/settings.ts';
import { changesTones } from '../../store/toning.ts';
import { drawing } from '../../store/viewState.ts';
import { later } from '../../ui/Later.tsx';
import { CropFrame } from './CropFrame.tsx';
import { Said } from '../../ui/Said.tsx';
import { Entries, Section } from './Section.tsx';
import { Thresholds } from './Thresholds.tsx';
import { TONE_ENTRIES, Tones } from './Tones.tsx';

const AreaList = later('The areas', async () => (await import('../areas/AreaList.tsx')).AreaList);
const Awaited = later('The picture awaited', async () => (await import('./Awaited.tsx')).Awaited);
const Suits = later('The counts of values', async () => (await import('./Suits.tsx')).Suits);

function plateFromPicture(): void {
  inOrder(async () => change('plate made the picture’s shape', await made((of) => plateLikePicture(of, picture.value))));
}

const Lines = later('The lines', async () => (await import('../lines/Lines.tsx')).Lines);
/** Lines are spoken of, before the plan has any. */
const lining = signal(false);
/** The counts of values are shown. */
const suiting = signal(false);

export function PictureSection() {
  const now = picture.value;
  const [wide, high] = now.file_px ?? [now.width, now.height];
  const marks = usePlan((plan) => plan.picture.thresholds_l.length);
  const waiting = usePlan((plan) => awaits(plan, picture.value));
  const areas = usePlan((plan) => (plan.areas?.length ?? 0) > 0);
  const lines = usePlan((plan) => plan.lines !== undefined);
  return (
    <Section name="picture"
      why="Drop a photograph or drawing anywhere on the page. Its tones decide which [[value]] goes where: everything lighter than the first mark stays paper, everything darker than the last gets all the bites.">
      <p class="picture-name">
        {now.name ?? 'Harbour at dusk, drawn by this page'}
        {now.name !== null && now.width > 0 && <span class="unit"> {wide} × {high}</span>}
      </p>
      {waiting && <Awaited />}
      <p class="acts">
        <button type="button" class="act" onClick={() => choose(PICTURES)}>Choose a picture…</button>
        {now.name !== null && <button type="button" class="act" onClick={takeHarbour}>Use the harbour again</button>}
      </p>
      <div data-field="picture">
        <CropFrame />
        <Said field="picture.crop" />
        <Said field="picture.source" />
      </div>
      <p class="acts">
        <button type="button" class="act" onClick={plateFromPicture}>Make the plate the picture’s shape</button>
      </p>
      <Entries part="plate" except={TONE_ENTRIES} seldom={['plate.thickness_mm', 'plate.bevel_mm', 'plate.corner_radius_mm']} />
      <details class={changesTones.value ? 'more' : 'more screen-only'} open={allSteps.value || changesTones.value}>
        <summary>Tones of the picture</summary>
        <Tones />
      </details>
      <h3>Where each value begins</h3>
      <div data-field="picture.thresholds_l">
        <Thresholds />
        <Said field="picture.thresholds_l" />
        {Array.from({ length: marks }, (_, i) => <Said key={i} field={`picture.thresholds_l.${i}`} />)}
      </div>
      <p class="acts">
        <button type="button" class="act" onClick={() => spaceValues('values spaced for the picture')}>Space the values for this picture</button>
        <button type="button" class="act" aria-expanded={suiting.value} onClick={() => { suiting.value = !suiting.value; }}>How many values?</button>
      </p>
      {suiting.value && <Suits />}
      <h3 class={areas ? '' : 'screen-only'}>Areas by hand</h3>
      <div data-field="areas">
        {(drawing.value || areas) && <AreaList />}
        <Said field="areas" />
      </div>
      <p class="acts">
        <button type="button" class="act" aria-pressed={drawing.value} onClick={() => { pane.value = 'proof'; drawing.value = !drawing.value; }}>
          {drawing.value ? 'Stop drawing' : 'Draw areas on the proof'}
        </button>
      </p>
      <h3 class={lines ? '' : 'screen-only'}>Etched lines</h3>
      {(lining.value || lines) ? <div data-field="lines"><Lines /></div> : (
        <p class="acts"><button type="button" class="act" onClick={() => { lining.value = true; }}>Begin on a plate with lines…</button></p>
      )}
    </Section>
  );
}
