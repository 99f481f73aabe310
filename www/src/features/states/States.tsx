import { useEffect, useState } from 'preact/hooks';
import { overProof, state } from '../../store/viewState.ts';
import { limitsOf } from '../../store/catalogue.ts';
import { plan } from '../../store/plan.ts';
import { pool } from '../../engine/scheduler.ts';
import { problems, saidAt } from '../../store/results.ts';
import { branch, held, rename, shown, states, takeOut } from './states.ts';
import { Term } from '../glossary/Term.tsx';
import { Words } from '../../ui/ChoiceEntry.tsx';
import { Told } from '../../ui/Said.tsx';
import { Correct } from './Correct.tsx';
import { EditionPart } from './EditionPart.tsx';
import { SideBySide } from './SideBySide.tsx';
import { ToolSheet } from './ToolSheet.tsx';
import { Tools } from './Tools.tsx';
import { WorkList } from './WorkList.tsx';
import { explained } from '../../store/settings.ts';
import './states.css?sheet';

/** Work on the copper after the first proof, state by state. */
export function States() {
  useEffect(() => {
    overProof.value = ToolSheet;
    return () => { overProof.value = null; held.value = null; };
  }, []);
  const all = states();
  const at = shown();
  const now = all[at - 2];
  const [after, setAfter] = useState(0);
  useEffect(() => {
    let here = true;
    pool.ask('gone_with', plan.value, at).then((gone) => { if (here) setAfter(gone.length - 1); }, () => undefined);
    return () => { here = false; };
  }, [plan.value.states, at]);
  return (
    <div class="states" data-field="states">
      <p class="section-why">
        Each proof is a <Term id="state">state</Term>. Scrape or burnish where it is too dark, lay a new ground where it is too light, and pull the next. You work on the
        proof, the right way round; the copper is its mirror image.
      </p>
      <div class="states-row" role="radiogroup" aria-label="State that is looked at">
        <Words name="state" chosen={String(at)} onChoose={(word) => { state.value = Number(word); }}
          options={Array.from({ length: all.length + 1 }, (_, i): [string, string] => [String(i + 1), i === 0 ? '1, first proof' : `${i + 1}${all[i - 1]?.name ? `, ${all[i - 1]?.name}` : ''}`])} />
      </div>
      {now && (
        <p class="states-from">
          From state {now.from_state}.{' '}
          <label>Called <input class="states-name" value={now.name} maxLength={limitsOf('states.name').max} placeholder="no name" autocomplete="off" spellcheck={false}
            aria-label={`Name of state ${at}`} onInput={(event) => rename(event.currentTarget.value)} /></label>
        </p>
      )}
      <p class="acts">
        <button type="button" class="act" disabled={all.length >= limitsOf('states').max} onClick={() => branch(at)}>new state from {at === 1 ? 'the first proof' : `state ${at}`}</button>
        {now && (
          <button type="button" class="act" onClick={() => takeOut(at)}>
            take state {at} out{after > 0 ? ` and ${after === 1 ? 'the one' : `the ${after}`} that go${after === 1 ? 'es' : ''} on from it` : ''}
          </button>
        )}
      </p>
      <Told all={problems.value.filter(({ field }) => /^(states|edition)/.test(field) || field === '')} />
      {saidAt('states').filter(({ severity }) => severity === 'warning').map((one) => <p key={one.field + explained(one)} class="warning">{explained(one)}</p>)}
      {now && <WorkList work={now.work} />}
      <Tools />
      <Correct />
      <SideBySide />
      <EditionPart />
    </div>
  );
}
