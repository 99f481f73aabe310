import type { Area } from '../../engine/protocol.ts';
import { drawing } from '../../store/viewState.ts';
import { panel } from '../../store/notifications.ts';
import { plan } from '../../store/plan.ts';
import { stale, summary } from '../../store/results.ts';
import { limitsOf } from '../../store/catalogue.ts';
import { Said } from '../../ui/Said.tsx';
import { Entry } from '../../ui/Entry.tsx';
import { areaInHand, areas, fresh, inHand, move, setArea, takeOut, workWords } from './hand.ts';
import './areas.css?sheet';

const WORKS: [Area['work'], string][] = [
  ['hold', 'hold at a value'], ['picture', 'copy from the picture'], ['split', 'graded (creeping bite)'], ['spit', 'spit-bite'],
];

type Settings = Pick<Area, 'work' | 'value' | 'to_value' | 'feather_mm' | 'spit_min'>;

interface WorkProps { of: Settings; called: string; onChange: (what: string, next: Partial<Settings>) => void }

/** What is done in an area: the work, its value, its feather. */
function Work({ of, called, onChange }: WorkProps) {
  const number = (what: string, key: 'feather_mm' | 'spit_min', unit: string) => (
    <Entry key={key} label={what} of={called} unit={unit} value={of[key]} {...limitsOf(`areas.${key}`)} onSet={(value) => onChange(what, { [key]: value })} />
  );
  const value = (what: string, key: 'value' | 'to_value') => (
    <label>
      {what} <select value={of[key]} aria-label={`${what} value, ${called}`} onChange={(event) => onChange('value', { [key]: Number(event.currentTarget.value) })}>
        {Array.from({ length: plan.value.bites.length + 1 }, (_, i) => <option key={i} value={i}>{i === 0 ? 'white' : i}</option>)}
      </select>
    </label>
  );
  return (
    <div class="area-work">
      <select value={of.work} aria-label={`Work, ${called}`} onChange={(event) => {
        const work = event.currentTarget.value as Area['work'];
        onChange('work', { work, ...(work === 'spit' && !of.feather_mm ? { feather_mm: 5 } : {}), ...(work === 'spit' && !of.spit_min ? { spit_min: 2 } : {}),
          ...(work === 'split' && of.value === of.to_value ? { value: 1, to_value: plan.value.bites.length } : {}) });
      }}>
        {WORKS.map(([work, words]) => <option key={work} value={work}>{words}</option>)}
      </select>
      {of.work === 'hold' && value('at', 'value')}
      {of.work === 'split' && <>{value('from', 'value')}{value('to', 'to_value')}</>}
      {of.work === 'spit' && number('for', 'spit_min', 'min')}
      {number(of.work === 'spit' ? 'fades over' : 'feathered over', 'feather_mm', 'mm')}
    </div>
  );
}

/** The areas by hand, the first laid first; one of them is in hand. */
export function AreaList() {
  const list = areas();
  const held = areaInHand();
  const values = summary.value?.values ?? [];
  return (
    <div class="areas" data-stale={stale.value}>
      <p class="why">
        Each area lies over the picture and over those above it in this list; places are as printed, the right way round. A white line is a
        narrow brush of stop-out. Spit-bite is done before the first bite, while nothing is covered: etchant brushed on, drawn out towards the edge.
      </p>
      <ol>
        {list.map((area, i) => {
          const called = area.name || `area ${i + 1}`;
          return (
            <li key={i} data-held={i === held}>
              <span class="area-head">
                <span class="area-tone" style={{ background: `rgb(${Array(3).fill(values[area.value]?.srgb ?? 128).join(',')})` }} aria-hidden="true" />
                <input class="area-name" value={area.name} maxLength={limitsOf('areas.name').max} placeholder={`Area ${i + 1}`} aria-label={`Name of area ${i + 1}`} autocomplete="off"
                  onInput={(event) => setArea(i, 'named', { name: event.currentTarget.value })} />
                <button type="button" class="quiet step" disabled={i === 0} aria-label={`Lay ${called} earlier`} onClick={() => move(i, -1)}>↑</button>
                <button type="button" class="quiet step" disabled={i === list.length - 1} aria-label={`Lay ${called} later`} onClick={() => move(i, 1)}>↓</button>
                <button type="button" class="quiet" aria-pressed={i === held} aria-label={`Draw in ${called}`} onClick={() => { inHand.value = i === held ? null : i; drawing.value = true; }}>draw</button>
                <button type="button" class="quiet" aria-label={`Remove ${called}`} onClick={() => takeOut(i)}>remove</button>
              </span>
              <Work of={area} called={called} onChange={(what, next) => setArea(i, what, next)} />
              {['name', 'value', 'to_value', 'feather_mm', 'spit_min', 'axis_mm', 'shapes'].map((field) => <Said key={field} field={`areas.${i}.${field}`} />)}
            </li>
          );
        })}
      </ol>
      <p><button type="button" class="quiet" onClick={() => { panel.value = 'guides'; }}>stop-out guides…</button></p>
      {drawing.value && (
        <div class="area-fresh">
          <button type="button" class="act" disabled={held === null} onClick={() => { inHand.value = null; }}>
            {held === null ? `The next stroke begins an area, ${workWords(fresh.value)}` : 'Begin a new area'}
          </button>
          {held === null && <Work of={fresh.value} called="new area" onChange={(_, next) => { fresh.value = { ...fresh.value, ...next }; }} />}
        </div>
      )}
    </div>
  );
}
