import { addBath, baths } from '../../store/bathBook.ts';
import { plan } from '../../store/plan.ts';
import { Term } from '../glossary/Term.tsx';
import { Empty } from '../../ui/Empty.tsx';
import { Panel } from '../../ui/Panel.tsx';
import { BathPage } from './BathPage.tsx';
import '../backwards/backwards.css?sheet';

/** The shop's baths: how strong, how much copper, when to replace. */
export function BathBook() {
  return (
    <Panel name="baths" class="bath-book">
      <p class="section-why">
        Every plate leaves its copper in the bath. Written down here, the <Term id="tired-bath">tiring of a bath</Term> goes into each plan that is bitten in it. The book stays in this
        browser and goes out with the shelf’s file.
      </p>
      {baths.value.map((bath) => <BathPage key={bath.id} bath={bath} />)}
      {baths.value.length === 0 && <Empty picture="bath">No bath is written down yet: begin with the one this plan is bitten in.</Empty>}
      <p class="acts"><button type="button" class="act" onClick={() => addBath(plan.value)}>Write down the bath of this plan</button></p>
      <div class="caution">
        <h3>Caution</h3>
        <p>A spent bath is acid, carries copper and is poison to water life: collect it in a labelled container as hazardous waste. The product’s safety sheet, local rules and the shop’s responsible person decide.</p>
      </div>
    </Panel>
  );
}
