import { useCallback, useEffect, useRef, useState } from 'preact/hooks';
import type { Plan } from '../../engine/protocol.ts';
import { clockWords } from '../../steps/benchUnits.ts';
import { address, fromDisk } from '../../store/links.ts';
import { hasRun, pulledWords, type Job, type PlateRecord } from '../../store/plateRecord.ts';
import { units, worded } from '../../store/settings.ts';
import { today } from '../../store/today.ts';
import { NotYetWhole } from '../../ui/PrintAct.tsx';
import { QrCode } from '../../ui/QrCode.tsx';
import { spokenOf, useLink, type Then } from './bitten.ts';
import { fitOnOneSide } from './fit.ts';
import { editionOf } from './Impressions.tsx';
import { byDay, PhotographPixels, photographWords } from './Photographs.tsx';
import { dayWords, impressionLines, overWords, planInShort, plannedWords, proofsOf } from './recordWords.ts';

interface Props { record: PlateRecord; title: string; plan: Plan | null; then: ReadonlyMap<string, Then>; onReady: (ready: boolean) => void }

/** Lines of impressions that are kept together in a column. */
const WHOLE_LINES = 10;
/** Quiet time after a change before the sheet is measured, ms. */
const REST_MS = 300;
/** Changes since a job that are told on paper. */
const MOST_CHANGES = 4;

/** The record as it prints: on paper alone. */
export function RecordPaper({ record, title, plan, then, onReady }: Props) {
  const sheet = useRef<HTMLElement>(null);
  const [coded, setCoded] = useState(false);
  const [lettered, setLettered] = useState(false);
  const [pictures, setPictures] = useState<ReadonlySet<string>>(new Set());
  const { plan: spoken, bitten } = spokenOf(record, then, plan);
  const link = useLink(spoken);
  const jobs = record.jobs.filter(hasRun).sort((a, b) => a.at - b.at);
  const photographs = byDay(record.photographs);
  const notes = byDay(record.notes.filter(({ text }) => text.trim() !== ''));
  const lines = impressionLines(record.impressions);
  const pulled = pulledWords(record, editionOf(record, plan));
  const ready = link !== null && (coded || link === '') && lettered && photographs.every(({ id }) => pictures.has(id)) && then.size >= record.jobs.length;
  const oneIn = useCallback((id: string) => setPictures((all) => new Set([...all, id])), []);
  useEffect(() => { void document.fonts.ready.then(() => setLettered(true)); }, []);
  useEffect(() => onReady(ready), [ready, onReady]);
  // After whatever changes its length, once it rests: a long record is measured many times. In print at the latest.
  useEffect(() => {
    const fit = (): void => {
      clearTimeout(timer);
      if (sheet.current) fitOnOneSide(sheet.current);
    };
    const timer = setTimeout(fit, REST_MS);
    addEventListener('beforeprint', fit);
    return () => {
      clearTimeout(timer);
      removeEventListener('beforeprint', fit);
    };
  }, [record, plan, then, link, units.value, ready]);
  return (
    <article class="record-paper" ref={sheet} aria-label="The record as it prints">
      {/* On paper every page but the first begins with it. */}
      <div class="record-running" aria-hidden="true"><p>{title} · plate record</p></div>
      <header class="record-head">
        <div>
          <h1>{title}</h1>
          {spoken && planInShort(spoken, units.value).map((line) => <p key={line}>{line}</p>)}
          <p>The record as it stood on {dayWords(today())}.</p>
        </div>
        {link && (
          <figure>
            <QrCode text={fromDisk ? link : `${address()}#${link}`} label="The plan as a QR code" onShown={() => setCoded(true)} />
            <figcaption>{bitten === null ? 'the plan' : `the plan as it was bitten on ${dayWords(bitten, 'short')}`}</figcaption>
          </figure>
        )}
      </header>
      {!ready && <NotYetWhole what="its photographs and its code" />}
      {photographs.length > 0 && (
        <ul class="record-prints" aria-label="Photographs of the proofs">
          {photographs.map((one) => (
            <li key={one.id} data-old>
              <PhotographPixels one={one} words={photographWords(one, plan)} onIn={oneIn} />
              <p>{proofsOf(plan, one.of).find(([number]) => number === one.of)?.[1]}, {dayWords(one.at, 'short')}{one.caption && `: ${one.caption}`}</p>
            </li>
          ))}
        </ul>
      )}
      <div class="record-columns">
        {jobs.map((job) => <RanOnPaper key={job.id} job={job} then={then.get(job.id)} />)}
        {(lines.length > 0 || record.cancelled) && (
          <section data-whole={lines.length <= WHOLE_LINES}>
            <h2>Impressions</h2>
            {pulled && <p>{pulled}</p>}
            <table class="record-pulled">
              <tbody>
                {lines.map(({ numbers, at, paper, word, destroyed }) => (
                  <tr key={numbers}>
                    <th scope="row">{destroyed ? <del>{numbers}</del> : numbers}</th>
                    <td>{dayWords(at, 'short')}</td>
                    <td>{[paper, word, destroyed ? 'destroyed' : ''].filter(Boolean).join('; ')}</td>
                  </tr>
                ))}
              </tbody>
            </table>
            {record.cancelled && <p><b>The plate was cancelled on {dayWords(record.cancelled.at)}.</b> {record.cancelled.word}</p>}
          </section>
        )}
        {record.told.length > 0 && (
          <section>
            <h2>What its proofs have told</h2>
            {byDay(record.told).map((one) => <p key={one.id} class="record-note" data-old><b>{dayWords(one.at, 'short')}</b> {worded(one.said)}</p>)}
          </section>
        )}
        {notes.length > 0 && (
          <section>
            <h2>Notes</h2>
            {notes.map((one) => <p key={one.id} class="record-note" data-old><b>{dayWords(one.at, 'short')}</b> {one.text}</p>)}
          </section>
        )}
        {jobs.length + lines.length + notes.length + photographs.length + record.told.length === 0 && !record.cancelled && <p>Nothing is written down yet.</p>}
      </div>
      <p class="record-left" />
    </article>
  );
}

function RanOnPaper({ job, then }: { job: Job; then: Then | undefined }) {
  const since = then?.since ?? [];
  const more = since.length - MOST_CHANGES;
  return (
    <section data-whole>
      <h2>What ran on {dayWords(job.at)}</h2>
      <table class="record-pulled record-ran">
        <thead><tr><th scope="col">step</th><th scope="col">planned</th><th scope="col">ran</th><th scope="col"><span class="unseen">over or under</span></th></tr></thead>
        <tbody>
          {job.steps.filter(({ ran_s, id }) => ran_s !== null || id.startsWith('bite-')).map((one) => (
            <tr key={one.id}>
              <th scope="row">{one.name}{one.at !== null && today(one.at) !== today(job.at) && `, ${dayWords(one.at, 'short')}`}</th>
              <td>{plannedWords(one)}</td>
              <td>{one.ran_s === null ? '–' : clockWords(Math.round(one.ran_s))}</td>
              <td>{overWords(one)}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {since.length > 0 && <p class="record-since">Since then the plan was changed: {since.slice(0, MOST_CHANGES).map(worded).join('; ')}{more > 0 && ` and ${more} more`}.</p>}
    </section>
  );
}
