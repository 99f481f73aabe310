import { useComputed } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import { useId, useLayoutEffect, useRef } from 'preact/hooks';
import type { Choice, Field, Part } from '../../engine/protocol.ts';
import { catalogue } from '../../store/catalogue.ts';
import { beside } from '../../store/narrow.ts';
import { picture } from '../../store/picture.ts';
import { openStep, stepOf, STEPS, titles, type StepName } from '../../store/place.ts';
import { plan } from '../../store/plan.ts';
import { allSaid, DUST_BOX, errors, stale, summary } from '../../store/results.ts';
import { allSteps, units } from '../../store/settings.ts';
import { ChoiceEntry } from '../../ui/ChoiceEntry.tsx';
import { NumberEntry } from '../../ui/NumberEntry.tsx';
import { Marked } from '../glossary/Term.tsx';
import { Cautions, type CautionOf } from './Cautions.tsx';
import { useFaultCount } from './faultCount.ts';
import { stepWords } from './stepWords.ts';

interface StepProps { name: StepName; class?: string; children: ComponentChildren }

/** One step of the work: its name, what it comes to, whether something is wrong there, and, unfolded, what is in it. */
export function StepPart({ name, class: extra = '', children }: StepProps) {
  const id = useId();
  const open = allSteps.value || name === (openStep.value ?? (beside.value ? STEPS[0] : null));
  const section = useRef<HTMLElement>(null);
  const chosen = openStep.value === name;
  // The step before folds at the same time: what was pressed would run away from the eye.
  useLayoutEffect(() => { if (chosen) section.current?.querySelector('.step-head')?.scrollIntoView({ block: beside.peek() ? 'nearest' : 'start' }); }, [chosen]);
  return (
    <section ref={section} class={`section ${extra}`} id={name} aria-labelledby={`${id}t`} data-open={open}>
      <div class="step-head">
        <h2><button type="button" class="step-name" id={`${id}t`} aria-expanded={open} aria-controls={`${id}b`} aria-describedby={`${id}r ${id}m`}
          onClick={() => { openStep.value = open && !allSteps.value && !beside.value ? null : name; }}>{titles[name]}</button></h2>
        <Mark name={name} id={`${id}m`} />
        <Result name={name} id={`${id}r`} />
      </div>
      <div class="step-body" id={`${id}b`} hidden={!open}>{children}</div>
    </section>
  );
}

function Result({ name, id }: { name: StepName; id: string }) {
  const words = useComputed(() => {
    void units.value;
    return stepWords[name](plan.value, summary.value, picture.value.name);
  });
  const faults = useFaultCount(name);
  return <p class="step-result" id={id} data-stale={stale.value}>{[words.value, faults].filter(Boolean).join(', ')}</p>;
}

/** A full mark where something holds the plan up, an open one where something deserves a look. */
function Mark({ name, id }: { name: StepName; id: string }) {
  const kind = useComputed(() => {
    if (errors.value.some(({ field }) => stepOf(field) === name)) return 'wrong';
    return allSaid.value.some(({ field, severity }) => severity === 'warning' && field !== DUST_BOX && stepOf(field) === name) ? 'look' : null;
  }).value;
  if (!kind) return null;
  return <span class="step-mark" id={id} data-kind={kind}><span class="unseen">{kind === 'wrong' ? 'something here holds the plan up' : 'something here deserves a look'}</span></span>;
}

interface Props extends StepProps { why: string; caution?: CautionOf }

/** A step with why it is done (`[[term]]` leads to the glossary), its entries, and the caution that belongs there. */
export function Section({ why, caution, children, ...step }: Props) {
  return (
    <StepPart {...step}>
      <p class="section-why"><Marked words={why} /></p>
      {children}
      {caution !== undefined && <div class="caution"><h3>Caution</h3><Cautions of={caution} /></div>}
    </StepPart>
  );
}

interface EntriesProps { part: Part; only?: string[]; except?: string[]; seldom?: string[] }

/** Every number and named choice of one part but some, in the catalogue's order; what is `seldom` set is folded under “more”. */
export function Entries({ part, only, except = [], seldom = [] }: EntriesProps) {
  const known = catalogue.value;
  if (!known) return null;
  const here = (entry: { key: string; part: Part }): boolean => entry.part === part && (only ? only.includes(entry.key) : !except.includes(entry.key));
  const often = ({ key }: { key: string }): boolean => !seldom.includes(key);
  const [fields, choices] = [known.fields.filter(here), known.choices.filter(here)];
  return (
    <>
      <List fields={fields.filter(often)} choices={choices.filter(often)} />
      {seldom.length > 0 && (
        <details class="more" open={allSteps.value}>
          <summary>More</summary>
          <List fields={fields.filter((one) => !often(one))} choices={choices.filter((one) => !often(one))} />
        </details>
      )}
    </>
  );
}

function List({ fields, choices }: { fields: Field[]; choices: Choice[] }) {
  return (
    <div class="entries">
      {fields.map((field) => <NumberEntry key={field.key} field={field} />)}
      {choices.map((choice) => <ChoiceEntry key={choice.key} choice={choice} />)}
    </div>
  );
}
