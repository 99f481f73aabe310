import { useEffect } from 'preact/hooks';
import decide from '../../steps/decide.json';
import { productsOf, risksOf, type Risk } from '../../steps/risks.ts';
import { amountsFresh, amountsWrong, keepAmounts, known } from '../../steps/shop.ts';
import { panel } from '../../store/notifications.ts';
import { plan } from '../../store/plan.ts';
import { stale, summary } from '../../store/results.ts';
import { units } from '../../store/settings.ts';
import { HeldUp } from '../../ui/HeldUp.tsx';
import { NotYetWhole, PrintAct } from '../../ui/PrintAct.tsx';
import { View } from '../../ui/View.tsx';
import './risks.css?sheet';

/** Lines left free for what the plan does not know of. */
const MORE_PRODUCTS = 3;
const MORE_RISKS = 2;
/** Of the columns, a share of the whole in hundredths: what is printed, and what is written by hand. */
const WIDTHS = [17, 34, 9, 13, 12, 9, 6];

/** A form for the shop's own assessment of risks, filled with what the plan uses. All judgement is left to whoever completes it. */
export function RiskForm() {
  useEffect(keepAmounts, []);
  const { title } = plan.value;
  const name = title || 'Untitled plate';
  const all = known.value;
  const ready = summary.value !== null && amountsFresh.value;
  return (
    <View name="risks" class="risks" acts={(
      <>
        <PrintAct words="Print it" ready={ready} />
        <button type="button" class="quiet" onClick={() => { panel.value = 'sheet'; }}>bench sheet…</button>
      </>
    )}>
      {stale.value && <p class="problem risks-stale">The plan can’t be used as it stands: <HeldUp so="the amounts are those of the last plan that could be calculated" /></p>}
      {amountsWrong.value !== null && <p class="problem risks-stale">The amounts are missing: {amountsWrong.value}</p>}
      <article class="risks-paper" data-units={units.value} aria-label="The form as it prints">
        <div class="risks-running" aria-hidden="true"><p>{name} · form for a risk assessment</p></div>
        <header class="risks-top">
          <h1>Form for a risk assessment: {name}</h1>
          <p>
            <b>To be completed by the responsible person.</b> Filled in are only what this plan uses and the cautions of its bench sheet. The form knows
            nothing of your shop, your products, the people in it or the law where you are. The products’ safety data sheets and local rules come first; where they differ
            from what stands here, they hold. {decide.decide}
          </p>
          <p class="risks-blank"><span>Shop and room</span><span>Work done by</span><span>Date</span></p>
        </header>
        {!ready && <NotYetWhole what="its amounts" />}
        <table class="risks-table">
          <caption class="unseen">What the plan uses, what can happen, and room for what the shop does about it</caption>
          <colgroup>{WIDTHS.map((width, i) => <col key={i} style={{ width: `${width}%` }} />)}</colgroup>
          <thead>
            <tr>
              <th scope="col">What the plan uses, how much</th><th scope="col">What can happen, as the bench sheet cautions</th>
              <th scope="col">Who may be harmed</th><th scope="col">What we do already</th><th scope="col">What else is needed</th>
              <th scope="col">By whom, by when</th><th scope="col">Level of risk</th>
            </tr>
          </thead>
          <tbody>
            {risksOf(all).map((risk) => <Row key={risk.name} risk={risk} />)}
            {Array.from({ length: MORE_RISKS }, (_, i) => <tr key={i} class="risks-more"><th scope="row">Also</th><Blanks count={6} /></tr>)}
          </tbody>
        </table>
        <div class="risks-rest">
          <section aria-labelledby="risks-sheets">
            <h2 id="risks-sheets">Safety data sheets at hand</h2>
            <table class="risks-table risks-sheets">
              <thead><tr><th scope="col">Product</th><th scope="col">Name and supplier, as bought</th><th scope="col">Sheet at hand</th><th scope="col">Edition or date</th></tr></thead>
              <tbody>
                {productsOf(all).map((product) => <tr key={product}><th scope="row">{product}</th><td /><td><span class="risks-box" aria-hidden="true" /></td><td /></tr>)}
                {Array.from({ length: MORE_PRODUCTS }, (_, i) => <tr key={i}><th scope="row"><span class="unseen">another product</span></th><td /><td><span class="risks-box" aria-hidden="true" /></td><td /></tr>)}
              </tbody>
            </table>
          </section>
          <section class="risks-decided" aria-labelledby="risks-decided">
            <h2 id="risks-decided">Decided by the responsible person</h2>
            <p>{decide.classes}</p>
            <Lines of={['Local rules and insurer’s terms consulted', 'Who may do what, who may not, who is never alone', 'Eyewash, extinguisher, first aid, way out: where', 'Waste: where it is kept, who takes it']} />
            <p class="risks-sign"><span>Responsible person, name</span><span>Signature</span><span>Date</span><span>Next review, and after any change of product, plan or room</span></p>
          </section>
        </div>
        <footer class="risks-foot"><p>Amounts are calculated from the plan, not weighed; a line stands for what the plan does not say. The numbers of steps are those of the bench sheet.</p></footer>
      </article>
    </View>
  );
}

function Row({ risk: { name, uses, steps, cautions } }: { risk: Risk }) {
  return (
    <tr>
      <th scope="row">
        <b>{name}</b>
        <ul>{uses.map((one) => <li key={one}>{one.replace(/…$/, '')}{one.endsWith('…') && <span class="risks-room"><span class="unseen">to be written in</span></span>}</li>)}</ul>
        <span class="risks-steps">Bench sheet: {/\D/.test(steps) ? 'steps' : 'step'} {steps}</span>
      </th>
      <td class="risks-happens">{cautions.map((one) => <p key={one}>{one}</p>)}</td>
      <Blanks count={5} />
    </tr>
  );
}

function Blanks({ count }: { count: number }) {
  return <>{Array.from({ length: count }, (_, i) => <td key={i} />)}</>;
}

/** Headings with room to write under each. */
function Lines({ of }: { of: string[] }) {
  return <>{of.map((one) => <div key={one} class="risks-lines"><p>{one}</p><span aria-hidden="true" /><span aria-hidden="true" /></div>)}</>;
}
