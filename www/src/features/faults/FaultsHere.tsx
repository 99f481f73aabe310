import { useEffect, useState } from 'preact/hooks';
import { capital } from '../../store/capital.ts';
import { costOf, exercise, faultKinds, stepOfFault, type FaultStep } from '../../store/faults.ts';
import { panel } from '../../store/notifications.ts';
import { openStep } from '../../store/place.ts';
import { plan, usePlan } from '../../store/plan.ts';
import { stale, summary } from '../../store/results.ts';
import { allSteps } from '../../store/settings.ts';
import { faultMark } from '../../store/viewState.ts';
import { addFault, faultsFull, held, learnFaults, nameOf, sizeWords } from './faults.ts';
import { FaultEntries } from './FaultEntries.tsx';
import { FaultMark } from './FaultMark.tsx';
import './faults.css?sheet';

/** What can go wrong in a step, and what of it is in the plan. */
export function FaultsHere({ step }: { step: FaultStep }) {
  const [failed, setFailed] = useState(false);
  const learn = (): void => { setFailed(false); learnFaults().catch(() => setFailed(true)); };
  useEffect(learn, []);
  useEffect(() => { faultMark.value = FaultMark; }, []);
  const kinds = faultKinds.value.filter((info) => info.step === step);
  const faults = usePlan((of) => of.faults) ?? [];
  const full = usePlan(faultsFull);
  const here = faults.map((fault, index) => ({ fault, index })).filter(({ fault }) => kinds.some(({ kind }) => kind === fault.kind));
  const inHand = held.value;
  // What is no longer to be seen is no longer in hand.
  const shown = allSteps.value || openStep.value === step;
  useEffect(() => {
    const kind = plan.peek().faults?.[held.peek() ?? -1]?.kind;
    if (!shown && kind && stepOfFault(kind) === step) held.value = null;
  }, [shown, step]);
  useEffect(() => { if (held.peek() !== null && !plan.peek().faults?.[held.peek() ?? 0]) held.value = null; }, [faults.length]);
  if (failed) return <p class="problem" role="alert">What could go wrong could not be fetched. <button type="button" class="act" onClick={learn}>Try again</button></p>;
  if (kinds.length === 0) return <p class="why" role="status">One moment</p>;
  return (
    <div class="faults-here">
      {here.length > 0 && (
        <ol class="faults-list" aria-label="Faults in the plan">
          {here.map(({ fault, index }) => (
            <li key={index} data-held={index === inHand}>
              <p class="faults-head">
                <button type="button" class="faults-name" aria-expanded={index === inHand} onClick={() => { held.value = index === inHand ? null : index; }}>
                  {capital(nameOf(fault.kind))} <span class="unit">{sizeWords(fault.size)}</span>
                </button>
              </p>
              <FaultEntries fault={fault} index={index} open={index === inHand} />
            </li>
          ))}
        </ol>
      )}
      <p class="why">{here.length > 0 ? 'Another:' : 'Try one on this plate; undo takes it away again.'}</p>
      <ul class="faults-kinds" aria-label="What could go wrong here">
        {kinds.map(({ kind, name }) => (
          <li key={kind}><button type="button" class="act" disabled={full || stale.value || summary.value === null} onClick={() => void addFault(kind)}>{name}</button></li>
        ))}
      </ul>
      {full && <p class="why">The plan has as many faults as it can hold.</p>}
      <p class="acts faults-more">
        <button type="button" class="quiet" onClick={() => { costOf.value = step; panel.value = 'cost'; }}>what would it cost?…</button>
        <button type="button" class="quiet" onClick={() => { panel.value = 'faults'; }}>book of faults…</button>
        <button type="button" class="quiet" onClick={() => { exercise.value = null; panel.value = 'what-went-wrong'; }}>exercises…</button>
      </p>
    </div>
  );
}
