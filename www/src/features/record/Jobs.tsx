import type { Plan } from '../../engine/protocol.ts';
import { benchList } from '../../steps/list.ts';
import { known, shop } from '../../steps/shop.ts';
import { clockWords } from '../../steps/benchUnits.ts';
import { takeInHand, withoutPicture } from '../../store/links.ts';
import { panel } from '../../store/notifications.ts';
import { plan as inHand } from '../../store/plan.ts';
import { hasRun, withRan, type Job, type PlateRecord, type RanStep } from '../../store/plateRecord.ts';
import { newEntry, writeRecord } from '../../store/records.ts';
import { units, worded } from '../../store/settings.ts';
import { today } from '../../store/today.ts';
import { timedSteps } from '../clock/carry.ts';
import { readTime } from '../clock/clockTime.ts';
import { run } from '../clock/clock.ts';
import type { Then } from './bitten.ts';
import { edit, put, takeOut } from './record.ts';
import { dayWords, overWords, plannedWords } from './recordWords.ts';
import { DayEntry } from './TextEntry.tsx';

interface Props { record: PlateRecord; plan: Plan | null; then: ReadonlyMap<string, Then> }

/** What really ran, beside what was planned, job by job; the newest first. */
export function Jobs({ record, plan, then }: Props) {
  const jobs = [...record.jobs].sort((a, b) => b.at - a.at);
  const byHand = (): void => {
    if (!plan) return;
    const steps = benchList(plan === inHand.peek() ? known.value : { plan, summary: null, amounts: null, shop: shop.value, units: units.value });
    put(record.id, 'jobs', { id: newEntry(), at: Date.now(), plan, by_hand: true, steps: timedSteps(steps, { marks: {} }).map((one) => ({ ...one, by_hand: false })) });
  };
  return (
    <section class="record-part" aria-labelledby="record-ran">
      <h3 id="record-ran" tabIndex={-1}>What really ran</h3>
      {jobs.length === 0 && <p class="why">Run the steps at the clock: each timed one is written down here by itself as it ends.</p>}
      {jobs.map((job) => <JobTable key={job.id} job={job} plate={record.id} then={then.get(job.id)} />)}
      <p class="acts">
        <button type="button" class="act" onClick={() => { panel.value = 'clock'; }}>go to the clock</button>
        <button type="button" class="act" disabled={!plan} onClick={byHand}>write a run down by hand</button>
      </p>
    </section>
  );
}

function JobTable({ job, plate, then }: { job: Job; plate: string; then: Then | undefined }) {
  const day = today(job.at);
  const atClock = run.value.job === job.id;
  const open = async (): Promise<void> => {
    if (!then?.plan) return;
    const shown = await withoutPicture(then.plan, null);
    await takeInHand(`plan as it was on ${dayWords(job.at)}`, then.plan, shown.picture, shown.said, plate);
    panel.value = null;
  };
  return (
    <div class="record-job">
      <h4>
        {job.by_hand
          ? <DayEntry label="Day of this run" value={day} onSave={(next) => edit(plate, 'jobs', job.id, { at: new Date(`${next}T12:00:00`).getTime() })} />
          : dayWords(job.at)}
        <span class="unit"> {job.by_hand ? 'by hand' : atClock ? 'at the clock now' : 'from the clock'}</span>
      </h4>
      <table class="record-ran">
        <caption class="unseen">What ran on {dayWords(job.at)}</caption>
        <thead><tr><th scope="col">Step</th><th scope="col">planned</th><th scope="col">ran</th><th scope="col"><span class="unseen">over or under</span></th></tr></thead>
        <tbody>
          {job.steps.map((one) => (
            <tr key={one.id} data-ran={one.ran_s !== null}>
              <th scope="row">{one.name}{one.at !== null && today(one.at) !== day && <span class="unit"> {dayWords(one.at, 'short')}</span>}</th>
              <td>{plannedWords(one)}</td>
              <td><RanEntry step={one} onSave={(ran_s) => void writeRecord(plate, (before) => withRan(before, job.id, one.id, ran_s))} /></td>
              <td class="record-over">{overWords(one)}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {then?.plan === null && job.plan !== null && <p class="why">The plan of that day can’t be read by this page.</p>}
      {then?.plan && (
        <p class="why">
          {then.since.length === 0 ? 'The plan has not been changed since.' : <>Since then the plan was changed: {then.since.map(worded).join('; ')}. The record keeps the plan as it was.</>}
        </p>
      )}
      <p class="acts">
        {then?.plan && then.since.length > 0 && <button type="button" class="act" onClick={() => void open()}>open the plan as it was then</button>}
        {!atClock && (
          <button type="button" class="quiet" onClick={() => takeOut(plate, 'jobs', job, `What ran on ${dayWords(job.at)}`)}>{hasRun(job) ? 'take this run out' : 'leave it out again'}</button>
        )}
      </p>
    </div>
  );
}

/** Longest time that is taken for one step, s. */
const LONGEST_S = 24 * 3600;

/** What a step ran, typed as 2:20, 2.5 or 140s; emptied, nothing has run. */
function RanEntry({ step, onSave }: { step: RanStep; onSave: (ran_s: number | null) => void }) {
  const shown = step.ran_s === null ? '' : clockWords(Math.round(step.ran_s));
  return (
    <input class="ran-entry" inputMode="text" autocomplete="off" placeholder="–" aria-label={`${step.name} ran, minutes and seconds`} value={shown}
      onFocus={(event) => event.currentTarget.select()}
      onKeyDown={(event) => { if (event.key === 'Enter') event.currentTarget.blur(); }}
      onChange={(event) => {
        const text = event.currentTarget.value;
        const read = text.trim() === '' ? null : readTime(text);
        if (text.trim() !== '' && (read === null || read > LONGEST_S)) event.currentTarget.value = shown;
        else if (read !== step.ran_s) onSave(read);
      }} />
  );
}
