import { ofDay } from '../../steps/list.ts';
import type { BenchStep } from '../../steps/types.ts';
import { timeWords } from '../../steps/benchUnits.ts';
import { units } from '../../store/settings.ts';
import { CostAct } from './CostAct.tsx';

export interface Row { step: BenchStep; number: number; from_s: number; to_s: number }

/** One numbered step with its time of day, and room for what it really came to. */
export function StepRow({ step, number, from_s, begin_min, short }: Row & { begin_min: number; short: boolean }) {
  return (
    <li class="sheet-step" value={number}>
      <span class="sheet-number" aria-hidden="true">{number}</span>
      <span class="sheet-when"><span class="unseen">at </span>{ofDay(begin_min, from_s, units.value)}</span>
      <div class="sheet-what">
        <h3>
          {step.name}
          {step.seconds !== null && <> <strong class="sheet-time">{timeWords(step.seconds)}</strong></>}
          {short && step.short !== undefined && <> <span class="sheet-short">{step.short}</span></>}
          {(step.seconds !== null || /\d/.test(step.short ?? '')) && <> <span class="sheet-ran-line" aria-hidden="true">{step.seconds === null ? 'was' : 'ran'}</span></>}
        </h3>
        {short ? <p class="sheet-marks">{step.marks.join(' · ')}</p> : <Advice step={step} />}
        <CostAct id={step.id} name={step.name} />
      </div>
      <span class="sheet-tick" aria-hidden="true" />
    </li>
  );
}

/** The instructions of a step, in the order of `BenchStep`. */
export function Advice({ step }: { step: BenchStep }) {
  return (
    <>
      {step.todo.map((words) => <p key={words}>{words}</p>)}
      {step.look !== undefined && <p><b>Look:</b> {step.look}{step.ifNot !== undefined && <> <b>If not:</b> {step.ifNot}</>}</p>}
      {step.mind !== undefined && <p><b>Mind:</b> {step.mind}</p>}
      {step.caution !== undefined && <p class="sheet-caution"><b>Caution:</b> {step.caution}</p>}
    </>
  );
}
