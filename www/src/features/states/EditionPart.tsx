import { useEffect, useState } from 'preact/hooks';
import type { Edition, PlateOf } from '../../engine/protocol.ts';
import { askStudies } from '../../engine/studies.ts';
import type { EditionAnswer } from '../../engine/protocol.ts';
import { limitsOf } from '../../store/catalogue.ts';
import { plan } from '../../store/plan.ts';
import { plateNow } from '../../steps/shop.ts';
import { planEdition, setEdition, shown } from './states.ts';
import { Term } from '../glossary/Term.tsx';
import { Words } from '../../ui/ChoiceEntry.tsx';
import { Entry } from '../../ui/Entry.tsx';
import { Waiting } from '../../ui/Waiting.tsx';

const NUMBERS: [keyof Edition & ('impressions' | 'paper_reflectance' | 'sheet_width_mm' | 'sheet_height_mm' | 'minutes_each'), string, string][] = [
  ['impressions', 'Impressions', ''],
  ['paper_reflectance', 'White of the edition’s paper', ''],
  ['sheet_width_mm', 'Full sheet, width', 'mm'],
  ['sheet_height_mm', 'Full sheet, height', 'mm'],
  ['minutes_each', 'For each impression', 'min'],
];

/** The edition: how long the plate lasts, and what it takes. */
export function EditionPart() {
  const edition = plan.value.edition;
  const [answer, setAnswer] = useState<{ about: PlateOf; at: number; given: EditionAnswer } | null>(null);
  const at = shown();
  const about = plateNow.value;
  const fresh = answer?.about === about && answer?.at === at;
  const planned = edition !== undefined;
  useEffect(() => {
    if (!planned) { setAnswer(null); return undefined; }
    if (!about) return undefined;
    let here = true;
    askStudies('edition', about, at).then((given) => { if (here) setAnswer({ about, at, given }); }, () => undefined);
    return () => { here = false; };
  }, [about, at, planned]);

  return (
    <div class="states-part edition">
      <h3>Edition</h3>
      {!edition && <button type="button" class="act" onClick={planEdition}>plan an edition</button>}
      {edition && (
        <>
          {NUMBERS.map(([key, label, unit]) => (
            <Entry key={key} label={label} unit={unit} value={edition[key]} {...limitsOf(`edition.${key}`)}
              onSet={(value) => setEdition(`edition: ${label.toLowerCase()}`, { ...edition, [key]: key === 'impressions' ? Math.round(value) : value })} />
          ))}
          <span role="radiogroup" aria-label="Copper">
            <Words name="steel" options={[['bare', 'bare copper'], ['steel', 'steel-faced']]} chosen={edition.steel_faced ? 'steel' : 'bare'}
              onChoose={(word) => setEdition('steel-facing', { ...edition, steel_faced: word === 'steel' })} />
          </span>
          <div role="status">{!fresh && <Waiting words="The plate is worn impression by impression, and printed anew." />}</div>
          {answer && <div class="edition-answer" data-busy={!fresh}><Answer answer={answer.given} edition={edition} state={answer.at} /></div>}
          <p class="acts"><button type="button" class="quiet" onClick={() => setEdition('no edition', null)}>leave the edition out</button></p>
        </>
      )}
    </div>
  );
}

function Answer({ answer, edition, state }: { answer: EditionAnswer; edition: Edition; state: number }) {
  const lasts = edition.steel_faced ? answer.lasts_steel : answer.lasts;
  const most = answer.impressions.at(-1) ?? 0;
  const upTo = answer.impressions.filter((n) => n <= Math.max(100, edition.impressions)).length;
  return (
    <>
      <p class="why" aria-live="polite">
        {lasts > 0
          ? `From about impression ${lasts} value ${answer.first_value} differs from the first by more than 2 L*: less is hard to tell apart.`
          : `No value changes by more than 2 L* within ${most} impressions: less is hard to tell apart.`}
        {' '}Bare copper: {answer.lasts || `over ${most}`}; steel-faced: {answer.lasts_steel || `over ${most}`}. The rate of wear is estimated: sources report
        about 100 good prints of a delicate aquatint on bare copper, about 1000 with a steel face.
      </p>
      <p class="why">
        Ink {answer.ink_g.toFixed(0)} g with what is wiped off; {answer.per_sheet > 0
          ? `${answer.per_sheet} from a full sheet, so ${answer.sheets} full sheets with one in ten over, damped the evening before`
          : 'the plate with its margins is larger than the full sheet: take a larger one or smaller margins'}; {answer.hours.toFixed(0)} hours at the press.
      </p>
      <div class="strip-scroll" tabIndex={0} role="group" aria-label="Strip of impressions, scrolls sideways when narrow">
        <table class="edition-strip">
          <caption class="unseen">L* of every value in state {state} over the impressions</caption>
          <thead><tr><th scope="col">Value</th>{answer.impressions.slice(0, upTo).map((n) => <th key={n} scope="col">{n}</th>)}</tr></thead>
          <tbody>
            {answer.values.map((value) => (
              <tr key={value.index}>
                <th scope="row">{value.index === 0 ? 'paper' : value.index}</th>
                {value.srgb.slice(0, upTo).map((grey, i) => {
                  const l = (edition.steel_faced ? value.lightness_steel : value.lightness)[i] ?? 0;
                  return <td key={i} style={{ background: `rgb(${grey} ${grey} ${grey})`, color: grey > 120 ? '#000' : '#fff' }}>{l.toFixed(0)}</td>;
                })}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <p class="why">Before the <Term id="edition">edition</Term>: <Term id="bevel">bevel</Term> the edges at 45° and round the corners, so that they don’t cut paper and <Term id="blankets">blankets</Term>; burnish the bevel, so that it wipes clean; polish out scratches; clean with <Term id="whiting">whiting</Term>; <Term id="steel-facing">steel-face</Term> now, if at all. With a blanket left out or added, set the pressure anew.</p>
    </>
  );
}
