import { limitsOf } from '../../state/catalogue';
import { setText, usePlan } from '../../state/plan';
import { working } from '../../state/viewState';
import { later } from '../Later';
import { BakeSection } from './BakeSection';
import { BathSection } from './BathSection';
import { BitesSection } from './BitesSection';
import { DustSection } from './DustSection';
import { InkSection } from './InkSection';
import { PictureSection } from './PictureSection';
import { Said } from './Said';

const Footer = later('What is said of the numbers', async () => (await import('../Footer')).Footer);
const States = later('The work on the copper', async () => (await import('../states/States')).States);

/** The plan, in the order of the bench. */
export function PlanColumn() {
  const title = usePlan((plan) => plan.title);
  const notes = usePlan((plan) => plan.notes);
  const worked = usePlan((plan) => Boolean(plan.states ?? plan.edition));
  return (
    <section class="plan" id="plan" aria-label="The plan" tabIndex={-1}>
      <form class="plan-form" onSubmit={(event) => event.preventDefault()}>
        <div class="plan-title">
          <input class="title-entry" aria-label="Title of the plan" value={title} maxLength={limitsOf('title').max} placeholder="Untitled plate"
            autocomplete="off" spellcheck={false} onInput={(event) => setText('title', event.currentTarget.value)} />
          <Said field="title" />
          <textarea class="notes-entry" aria-label="Notes" rows={1} placeholder="Notes for the wall" maxLength={limitsOf('notes').max}
            value={notes} onInput={(event) => setText('notes', event.currentTarget.value)} />
          <Said field="notes" />
          <Said field="" />
        </div>
        <PictureSection />
        <DustSection />
        <BakeSection />
        <BathSection />
        <BitesSection />
        <InkSection />
        <div id="states">{(working.value || worked) && <States />}</div>
      </form>
      <Footer />
    </section>
  );
}
