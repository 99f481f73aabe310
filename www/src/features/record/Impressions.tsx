import { useState } from 'preact/hooks';
import type { Plan } from '../../engine/protocol.ts';
import { freeNumbers, inOrder, LONGEST, MOST, MOST_NUMBER, numberWords, pulledWords, type Impression, type Kind, type PlateRecord } from '../../store/plateRecord.ts';
import { newEntry, writeRecord } from '../../store/records.ts';
import { today } from '../../store/today.ts';
import { Words } from '../../ui/ChoiceEntry.tsx';
import { numberProblem, readNumber } from '../../ui/numbers.ts';
import { useTyped } from '../../ui/typed.ts';
import { Term } from '../glossary/Term.tsx';
import { edit, put, takeOut } from './record.ts';
import { dayWords } from './recordWords.ts';
import { DayEntry, TextEntry } from './TextEntry.tsx';

/** Size of the edition: the plan's, or as it was written into the record. */
export const editionOf = (record: PlateRecord, plan: Plan | null): number | null => plan?.edition?.impressions ?? record.edition_of;

/** Every impression with its number, and the end of the plate. */
export function Impressions({ record, plan }: { record: PlateRecord; plan: Plan | null }) {
  const planned = editionOf(record, plan);
  const { cancelled, impressions } = record;
  return (
    <section class="record-part" aria-labelledby="record-impressions">
      <h3 id="record-impressions" tabIndex={-1}>Impressions</h3>
      <p class="why">
        Every <Term id="impression">impression</Term> that is more than a trial: the <Term id="bon-a-tirer">bon à tirer</Term>, <Term id="artists-proof">artist’s proofs</Term> and the numbered <Term id="edition">edition</Term>.
        {plan?.edition && ` The plan has an edition of ${plan.edition.impressions}.`}
      </p>
      <p role="status">{pulledWords(record, planned)}</p>
      {impressions.length > 0 && (
        <ul class="record-impressions">{inOrder(impressions).map((one) => <ImpressionEntry key={one.id} one={one} plate={record.id} />)}</ul>
      )}
      {!cancelled && impressions.length < MOST.impressions && <Pull record={record} plan={plan} planned={planned} />}
      <Cancelling record={record} />
    </section>
  );
}

function ImpressionEntry({ one, plate }: { one: Impression; plate: string }) {
  const called = numberWords(one);
  const set = (change: Partial<Impression>): void => edit(plate, 'impressions', one.id, change);
  return (
    <li data-destroyed={one.destroyed}>
      <span class="record-number">{one.destroyed ? <del>{called}</del> : called}{one.destroyed && <span class="unseen">, destroyed</span>}</span>
      <DayEntry label={`Day of ${called}`} value={one.at} onSave={(at) => set({ at })} />
      <TextEntry label={`Paper of ${called}`} placeholder="paper" value={one.paper} most={LONGEST.paper} onSave={(paper) => set({ paper })} />
      <TextEntry label={`A word on ${called}`} placeholder="a word on it" class="record-word" value={one.word} most={LONGEST.word} onSave={(word) => set({ word })} />
      <span class="acts">
        <button type="button" class="quiet" aria-pressed={one.destroyed} aria-label={`${called}: destroyed`} onClick={() => set({ destroyed: !one.destroyed })}>destroyed</button>
        <button type="button" class="quiet" aria-label={`Remove ${called}`} onClick={() => takeOut(plate, 'impressions', one, called)}>remove</button>
      </span>
    </li>
  );
}

const NAMES: Record<Kind, string> = { bat: 'bon à tirer', ap: 'artist’s proof', edition: 'edition' };
/** Most that are written down at once. */
const AT_ONCE = [1, 60] as const;

/** Writes down the next: the page says which numbers they get. */
function Pull({ record, plan, planned }: { record: PlateRecord; plan: Plan | null; planned: number | null }) {
  const kinds = (['bat', 'ap', 'edition'] as const).filter((kind) => kind !== 'bat' || freeNumbers(record, 'bat', 1, null).length > 0);
  const [chosen, setKind] = useState<Kind>('bat');
  const kind = kinds.includes(chosen) ? chosen : 'edition';
  const [count, setCount] = useState<number>(1);
  const [chosenDay, setAt] = useState<string | null>(null);
  const at = chosenDay ?? today();
  const [typed, setPaper] = useState<string | null>(null);
  const paper = typed ?? record.impressions.at(-1)?.paper ?? '';
  const many = useTyped({ shown: String(count), wrong: (text) => numberProblem(text, AT_ONCE), take: (text) => setCount(Math.round(readNumber(text))) });
  const size = useTyped({
    shown: String(record.edition_of ?? ''), wrong: (text) => (text.trim() === '' ? '' : numberProblem(text, [1, MOST_NUMBER])),
    take: (text) => void writeRecord(record.id, (before) => ({ ...before, edition_of: text.trim() === '' ? null : Math.round(readNumber(text)) })),
  });
  const numbers = freeNumbers(record, kind, kind === 'bat' ? 1 : Math.min(count, MOST.impressions - record.impressions.length), planned);
  const of = kind === 'edition' ? planned : null;
  const [first, last] = [numbers[0], numbers.at(-1)].map((number) => (number === undefined ? '' : numberWords({ kind, number, of })));
  const write = (): void => put(record.id, 'impressions', ...numbers.map((number) => ({ id: newEntry(), kind, number, of, at, paper: paper.trim(), word: '', destroyed: false })));
  return (
    <div class="record-pull">
      <div role="radiogroup" aria-label="What was pulled">
        <Words name="record-kind" options={kinds.map((one) => [one, NAMES[one]] as const)} chosen={kind} onChoose={(word) => setKind(kinds.find((one) => one === word) ?? 'edition')} />
      </div>
      {kind !== 'bat' && <label>how many <input class="record-count" {...many.entry} /></label>}
      {kind === 'edition' && !plan?.edition && <label>edition of <input class="record-count" {...size.entry} placeholder="–" /></label>}
      <span class="record-on">on <DayEntry label="Day it was pulled" value={at} onSave={setAt} /></span>
      <label class="record-paper-entry">paper <input class="record-text" maxLength={LONGEST.paper} value={paper} onInput={(event) => setPaper(event.currentTarget.value)} /></label>
      {[many, size].map(({ said, saidId }) => said && <p key={saidId} class="problem" id={saidId} role="alert">{said}</p>)}
      <p class="acts">
        {numbers.length > 0
          ? <button type="button" class="act" onClick={write}>write down {first}{last !== first && ` to ${last}`}</button>
          : kind === 'edition' && `All ${planned} of the edition are written down.`}
      </p>
    </div>
  );
}

/** The plate's end: scored across, so that nothing more is printed from it. */
function Cancelling({ record }: { record: PlateRecord }) {
  const [sure, setSure] = useState(false);
  const { cancelled } = record;
  const set = (next: PlateRecord['cancelled']): void => { setSure(false); void writeRecord(record.id, (before) => ({ ...before, cancelled: next })); };
  if (cancelled) {
    return (
      <div class="record-cancelled">
        <p class="acts">
          <span>The plate was <Term id="cancelling">cancelled</Term> on</span> <DayEntry label="Day the plate was cancelled" value={cancelled.at} onSave={(at) => set({ ...cancelled, at })} />
          <button type="button" class="quiet" onClick={() => set(null)}>it was not</button>
        </p>
        <TextEntry label="A word on the cancelling" placeholder="how, and where its proof is" value={cancelled.word} most={LONGEST.word} onSave={(word) => set({ ...cancelled, word })} />
        <p class="why">No more is pulled from it.</p>
      </div>
    );
  }
  return sure
    ? (
      <p class="acts">
        Scored across, so that no more is ever printed?
        <button type="button" class="act" onClick={() => set({ at: today(), word: '' })}>Yes, cancelled on {dayWords(today())}</button>
        <button type="button" class="quiet" onClick={() => setSure(false)}>no</button>
      </p>
    )
    : <p class="acts"><button type="button" class="quiet" onClick={() => setSure(true)}>the plate is cancelled…</button></p>;
}
