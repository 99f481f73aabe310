import { limitsOf } from '../../store/catalogue.ts';
import { setText, usePlan } from '../../store/plan.ts';
import { openStep } from '../../store/place.ts';
import { narrow, upright } from '../../store/narrow.ts';
import { allSteps } from '../../store/settings.ts';
import { later } from '../../ui/Later.tsx';
import { BakeSection } from './BakeSection.tsx';
import { BathSection } from './BathSection.tsx';
import { BitesSection } from './BitesSection.tsx';
import { DustSection } from './DustSection.tsx';
import { InkSection } from './InkSection.tsx';
import { Welcome } from '../first/Welcome.tsx';
import { PictureSection } from './PictureSection.tsx';
import { StepPart } from './Section.tsx';
import { Said } from '../../ui/Said.tsx';

const States = later('The work on the copper', async () => (await import('../states/States.tsx')).States);

/** The plan, in the order of the bench. */
export function PlanColumn() {
  const title = usePlan((plan) => plan.title);
  const notes = usePlan((plan) => plan.notes);
  const worked = usePlan((plan) => Boolean(plan.states ?? plan.edition));
  return (
    <section class="plan" id="plan" aria-label="The plan" tabIndex={-1} data-all={allSteps.value}>
      <form class="plan-form" onSubmit={(event) => event.preventDefault()}>
        {!narrow.value && !upright.value && <Welcome />}
        <div class="plan-title">
          <input class="title-entry" aria-label="Title of the plan" value={title} maxLength={limitsOf('title').max} placeholder="Untitled plate"
            autocomplete="off" spellcheck={false} onInput={(event) => setText('title', event.currentTarget.value)} />
          <Said field="title" />
          <textarea class="notes-entry" aria-label="Notes" rows={1} placeholder="Notes" maxLength={limitsOf('notes').max}
            value={notes} onInput={(event) => setText('notes', event.currentTarget.value)} />
          <Said field="notes" />
          <Said field="" />
        </div>
        <a class="skip" href="#menu-plan">Back to the menus</a>
        <PictureSection />
        <DustSection />
        <BakeSection />
        <BathSection />
        <BitesSection />
        <InkSection />
        {/* Until there are any, its tools are nothing for paper. */}
        <StepPart name="states" class={worked ? '' : 'screen-only'}>{(worked || allSteps.value || openStep.value === 'states') && <States />}</StepPart>
      </form>
      <p class="plan-foot"><button type="button" class="quiet" aria-pressed={allSteps.value} onClick={() => { allSteps.value = !allSteps.value; }}>unfold every step</button></p>
    </section>
  );
}
