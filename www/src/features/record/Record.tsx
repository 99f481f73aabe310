import { useEffect, useState } from 'preact/hooks';
import type { Plan } from '../../engine/protocol.ts';
import { choose } from '../../store/fileActs.ts';
import { panel, told } from '../../store/notifications.ts';
import { isEmpty, type PlateRecord } from '../../store/plateRecord.ts';
import { recordPlate } from '../../store/recorded.ts';
import { readRecords, unread } from '../../store/records.ts';
import { saveRecord } from '../../store/saveRecord.ts';
import { units } from '../../store/settings.ts';
import { checked, keepOnShelf } from '../../store/shelf.ts';
import { PrintAct } from '../../ui/PrintAct.tsx';
import { View } from '../../ui/View.tsx';
import { useThen } from './bitten.ts';
import { Impressions } from './Impressions.tsx';
import { Jobs } from './Jobs.tsx';
import { Notes } from './Notes.tsx';
import { Photographs } from './Photographs.tsx';
import { alone, close, forgetRecord, planHere, plateHere, record } from './record.ts';
import { RecordPaper } from './RecordPaper.tsx';
import { planInShort } from './recordWords.ts';
import { Told } from './Told.tsx';
import './record.css?sheet';

/** What really happened to one plate's copper. */
export function Record() {
  const [read, setRead] = useState(false);
  const [printable, setPrintable] = useState(false);
  useEffect(() => {
    void readRecords().then(() => setRead(true));
    return close;
  }, []);
  const of = record.value;
  const here = planHere.value;
  const own = usePlanAlone(of, here === null);
  const plan = here?.plan ?? own;
  const title = (here?.title ?? of.title) || 'Untitled plate';
  const then = useThen(of, plan);
  const empty = isEmpty(of);
  const show = (plate: string | null): void => { recordPlate.value = plate; };
  return (
    <View name="record" class="record" acts={(
      <>
        <PrintAct words="Print it" ready={read && printable} />
        <button type="button" class="act" disabled={!plan && empty} onClick={() => void saveRecord(plateHere.value)}>save as one file</button>
        <button type="button" class="act" onClick={() => choose('.json,application/json')}>bring in a file…</button>
        <button type="button" class="quiet" onClick={() => { panel.value = 'clock'; }}>clock…</button>
        <button type="button" class="quiet" onClick={() => { panel.value = 'shelf'; }}>shelf…</button>
      </>
    )}>
      <div class="record-room">
        <div class="record-top">
          <p class="record-title">{title}</p>
          {plan && planInShort(plan, units.value).map((line) => <p key={line} class="record-short">{line}</p>)}
          {recordPlate.value !== null && <p class="acts"><button type="button" class="act" onClick={() => show(null)}>to the record of the plan in hand</button></p>}
          {read && !here && (
            <p class="why">
              {empty && !own
                ? 'Nothing is kept here of this plate: its record is in another browser, or was forgotten.'
                : <>Its plan is neither in hand nor on the shelf. {own && <button type="button" class="act" onClick={() => void keepOnShelf(own, null, title, of.id)}>lay it on the shelf</button>}</>}
            </p>
          )}
          {unread.value.has(of.id) && <p class="problem">This record was written by another version of the page, and is left as it is. What you write now lasts until the page is closed: save it as a file.</p>}
          <p class="record-said" role="status">{told.value}</p>
        </div>
        {!read && <p role="status">One moment</p>}
        {read && (here || own || !empty) && (
          <div class="record-parts" key={of.id}>
            <div>
              <Jobs record={of} plan={plan} then={then} />
              <Notes record={of} />
            </div>
            <Photographs record={of} plan={plan} />
            <Impressions record={of} plan={plan} />
            <Told record={of} />
          </div>
        )}
        {read && <Foot of={of} onShow={show} />}
      </div>
      {read && <RecordPaper record={of} title={title} plan={plan} then={then} onReady={setPrintable} />}
    </View>
  );
}

/** The plan in a record whose plate is nowhere else; null until it has been checked, and where it is none. */
function usePlanAlone({ id, plan }: PlateRecord, wanted: boolean): Plan | null {
  const [found, setFound] = useState<{ id: string; plan: Plan | null } | null>(null);
  useEffect(() => {
    let here = true;
    if (wanted && plan !== null) void checked(plan).then((sound) => { if (here) setFound({ id, plan: sound }); });
    return () => { here = false; };
  }, [id, plan, wanted]);
  return wanted && found?.id === id ? found.plan : null;
}

/** Other records, and the end of this one. */
function Foot({ of, onShow }: { of: PlateRecord; onShow: (plate: string) => void }) {
  const [sure, setSure] = useState(false);
  const others = alone.value.filter(({ id }) => id !== of.id);
  return (
    <div class="record-foot">
      {others.length > 0 && (
        <section aria-labelledby="record-others">
          <h3 id="record-others">Records of plates whose plan is not here</h3>
          <ul>{others.map(({ id, title }) => <li key={id}><button type="button" class="act" onClick={() => onShow(id)}>{title || 'Untitled plate'}</button></li>)}</ul>
        </section>
      )}
      {!isEmpty(of) && (sure
        ? (
          <p class="acts">
            Forget all that stands in this record?
            <button type="button" class="act" onClick={() => { setSure(false); void forgetRecord(of); }}>Yes, forget it</button>
            <button type="button" class="quiet" onClick={() => setSure(false)}>no</button>
          </p>
        )
        : <p class="acts"><button type="button" class="quiet" onClick={() => setSure(true)}>forget this record…</button></p>)}
    </div>
  );
}
