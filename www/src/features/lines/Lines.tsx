import { signal } from '@preact/signals';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { LineFacts, Printed } from '../../engine/protocol.ts';
import { askReader } from '../../engine/reader.ts';
import { pool } from '../../engine/scheduler.ts';
import { PICTURES } from '../../store/files.ts';
import { linesKeepShape } from '../../store/crop.ts';
import { linesNamed, type LinePicture } from '../../store/linePictures.ts';
import { layAnew, setLines, takeLines, takeLinesOut } from './lines.ts';
import { printed } from '../../store/viewState.ts';
import { canvasFrom, roomPx } from '../../store/picture.ts';
import { limitsOf, toQuarter } from '../../store/catalogue.ts';
import { plan } from '../../store/plan.ts';
import { soundPlan } from '../../store/results.ts';
import { Term } from '../glossary/Term.tsx';
import { Words } from '../../ui/ChoiceEntry.tsx';
import { Said } from '../../ui/Said.tsx';
import { Entry } from '../../ui/Entry.tsx';
import './lines.css?sheet';

const PRINTED: [Printed, string][] = [['both', 'lines and tone'], ['lines', 'lines alone'], ['tone', 'tone alone']];
const wrong = signal('');

function choose(): void {
  const input = document.createElement('input');
  input.type = 'file';
  input.accept = PICTURES;
  input.addEventListener('change', () => {
    const [file] = input.files ?? [];
    wrong.value = '';
    if (file) takeLines(file).catch((error: Error) => { wrong.value = error.message; });
  });
  input.click();
}

/** Lines that were etched before the ground: their picture, their bite, and what of both is printed. */
export function Lines() {
  const { lines } = plan.value;
  const name = lines?.picture ?? null;
  const [shown, setShown] = useState<LinePicture | null | undefined>(undefined);
  useEffect(() => {
    let here = true;
    if (name !== null) void linesNamed(name).then((found) => { if (here) setShown(found); });
    return () => { here = false; };
  }, [name]);
  const stretched = useStretched(shown ?? null);
  return (
    <div class="lines">
      <p class="why">
        A plate that already has <Term id="etched-lines">etched lines</Term>: a second picture says where. Its dark strokes were open copper, so they are as wide as
        drawn and a little wider, as deep as their bite. Dust falls into them as anywhere; they take ink through the tone.
      </p>
      {lines && shown && (
        <>
          <LinesPicture of={shown} />
          <p class="picture-name">{shown.name}<span class="unit"> {shown.width} × {shown.height}</span></p>
        </>
      )}
      {lines && shown === null && <p class="problem" role="alert">The picture of the lines, “{name}”, is not here, and nothing of them is printed: choose it again.</p>}
      <p class="acts">
        <button type="button" class="act" onClick={choose}>{lines ? 'Choose other lines…' : 'Choose a picture of lines…'}</button>
        {lines && <button type="button" class="act" onClick={takeLinesOut}>Take the lines out</button>}
      </p>
      {wrong.value && <p class="problem" role="alert">{wrong.value}</p>}
      {lines && (
        <>
          {shown && stretched && (
            <p class="warning">
              The plate has another shape now, and the lines are stretched with it.{' '}
              <button type="button" class="act" onClick={() => void layAnew(shown)}>Lay them anew</button>
            </p>
          )}
          {shown && JSON.stringify(lines.crop) !== JSON.stringify(plan.value.picture.crop) && (
            <p class="acts"><button type="button" class="act" onClick={() => setLines('lines laid as the picture', { crop: plan.value.picture.crop })}>Lay them as the picture lies</button></p>
          )}
          <Said field="lines.crop" />
          <div class="entries">
            <Entry label="Bite of the lines" unit="min" value={lines.bite_min} {...limitsOf('bites.bite_min')} onSet={(minutes) => setLines('bite of the lines', { bite_min: toQuarter(minutes) })} />
            <Said field="lines.bite_min" />
            <Entry label="Darker than this is line" unit="L*" value={lines.open_below_l} {...limitsOf('lines.open_below_l')} onSet={(level) => setLines('where lines begin', { open_below_l: Number(level.toFixed(1)) })} />
            <Said field="lines.open_below_l" />
          </div>
          {shown && <Facts />}
          <div class="lines-printed" role="radiogroup" aria-label="What is printed">
            <Words name="printed" options={PRINTED} chosen={printed.value} onChoose={(word) => { printed.value = PRINTED.find(([one]) => one === word)?.[0] ?? 'both'; }} />
          </div>
        </>
      )}
    </div>
  );
}

/** Whether the plate stretches the lines. */
function useStretched(shown: LinePicture | null): boolean {
  const { lines, plate: { width_mm, height_mm } } = plan.value;
  const [stretched, setStretched] = useState(false);
  useEffect(() => {
    let here = true;
    if (lines && shown) void linesKeepShape(plan.value, lines.crop, shown).then((keep) => { if (here) setStretched(!keep); });
    return () => { here = false; };
  }, [lines, shown, width_mm, height_mm]);
  return stretched;
}

/** What the line bite comes to, in the plan's bath. */
function Facts() {
  const [facts, setFacts] = useState<LineFacts | null>(null);
  const about = soundPlan.value;
  useEffect(() => {
    let here = true;
    pool.askNumbers('line_facts').then((answer) => { if (here) setFacts(answer); }, () => undefined);
    return () => { here = false; };
  }, [about]);
  if (!facts) return <p class="why" role="status">One moment</p>;
  return (
    <p class="why lines-facts">
      In this plan’s bath they are <span class="number">{facts.depth_um.toFixed(0)}</span> µm deep and <span class="number">{facts.wider_um.toFixed(0)}</span> µm
      wider than drawn; a line drawn 0.2 mm wide prints L* <span class="number">{facts.lightness.toFixed(0)}</span>.
    </p>
  );
}

function LinesPicture({ of }: { of: LinePicture }) {
  const place = useRef<HTMLDivElement>(null);
  useEffect(() => {
    let here = true;
    askReader('shown_small', of.lightness, of.width, of.height, roomPx()).then((shown) => {
      if (!here) return;
      const canvas = canvasFrom(shown);
      canvas.setAttribute('role', 'img');
      canvas.setAttribute('aria-label', `The lines: ${of.name}`);
      place.current?.replaceChildren(canvas);
    }, () => undefined);
    return () => { here = false; };
  }, [of]);
  return <div ref={place} class="lines-picture" />;
}
