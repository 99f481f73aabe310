import { useEffect, useState } from 'preact/hooks';
import decide from '../../steps/decide.json';
import { benchList, benchNeeds, benchTimes } from '../../steps/list.ts';
import { orderOf } from '../../steps/order.ts';
import { PARTS } from '../../steps/steps.ts';
import type { BenchPart, BenchStep } from '../../steps/types.ts';
import { size, thickness } from '../../steps/benchUnits.ts';
import { pool } from '../../engine/scheduler.ts';
import { address, fromDisk } from '../../store/links.ts';
import { panel } from '../../store/notifications.ts';
import { plan } from '../../store/plan.ts';
import { soundPlan, stale, summary, toLookAt } from '../../store/results.ts';
import { amountsFresh, amountsWrong, keepAmounts, known, shop } from '../../steps/shop.ts';
import { conversion, explained, shortSheet, units } from '../../store/settings.ts';
import { HeldUp } from '../../ui/HeldUp.tsx';
import { Words } from '../../ui/ChoiceEntry.tsx';
import { NotYetWhole, PrintAct } from '../../ui/PrintAct.tsx';
import { QrCode } from '../../ui/QrCode.tsx';
import { BiteTable } from './BiteTable.tsx';
import { ShopEntries } from './ShopEntries.tsx';
import { StepRow } from './StepRow.tsx';
import { View } from '../../ui/View.tsx';
import './sheet.css?sheet';

/** The whole job on paper, with this plan's numbers. */
export function BenchSheet() {
  // Not yet asked, refused, or there; and its code drawn.
  const [link, setLink] = useState<string | null>(null);
  const [coded, setCoded] = useState(false);
  useEffect(keepAmounts, []);
  const sound = soundPlan.value;
  useEffect(() => {
    let wanted = true;
    if (sound) {
      pool.ask('link')
        .then((made) => { if (wanted) setLink(made); }, () => { if (wanted) setLink(''); });
    }
    return () => { wanted = false; };
  }, [sound]);
  const { title, notes, plate, faults = [] } = plan.value;
  const short = shortSheet.value;
  const ready = summary.value !== null && amountsFresh.value && link !== null && (coded || link === '');
  const warnings = stale.value ? [] : toLookAt.value.filter(({ field }) => !field.startsWith('bake'));
  const all = known.value;
  const list = benchList(all);
  const bitten = orderOf(all);
  const times = benchTimes(list);
  const numbered = list.map((step, i) => ({ step, number: i + 1, ...(times[i] ?? { from_s: 0, to_s: 0 }) }));
  const inPart = (part: BenchPart): typeof numbered => numbered.filter(({ step }) => step.part === part);
  const isBite = ({ bite, stop }: BenchStep): boolean => bite !== undefined || stop !== undefined;
  const ends_s = times.at(-1)?.to_s ?? 0;
  return (
    <View name="sheet" class="sheet" acts={(
      <>
        <div role="radiogroup" aria-label="Long or short">
          <Words name="sheet-form" options={[['long', 'long'], ['short', 'short: times, weights, marks']]} chosen={short ? 'short' : 'long'}
            onChoose={(word) => { shortSheet.value = word === 'short'; }} />
        </div>
        <div role="radiogroup" aria-label="Units on the sheet">
          <Words name="sheet-units" options={[['metric', 'metric'], ['us', 'US']]} chosen={units.value}
            onChoose={(word) => { units.value = word === 'us' ? 'us' : 'metric'; }} />
        </div>
        <PrintAct words="Print it" ready={ready} />
        <button type="button" class="quiet" onClick={() => { panel.value = 'guides'; }}>stop-out guides…</button>
        <button type="button" class="quiet" onClick={() => { panel.value = 'clock'; }}>clock…</button>
        <button type="button" class="quiet" onClick={() => { panel.value = 'risks'; }}>risk form…</button>
      </>
    )}>
      <ShopEntries ends_s={ends_s} />
      {stale.value && <p class="problem sheet-stale">The plan can’t be used as it stands: <HeldUp so="the amounts are those of the last plan that could be calculated" /></p>}
      {amountsWrong.value !== null && <p class="problem sheet-stale">The amounts are missing: {amountsWrong.value}</p>}
      <article class="sheet-paper" data-short={short} data-units={units.value} aria-label="The sheet as it prints">
        {/* On paper every page but the first begins with it. */}
        <div class="sheet-running" aria-hidden="true"><p>{title || 'Untitled plate'} · bench sheet</p></div>
        <header class="sheet-top">
          <div>
            <h1>{title || 'Untitled plate'}</h1>
            <p class="sheet-about">
              Copper {size(plate.width_mm, plate.height_mm, units.value)}, {thickness(plate.thickness_mm, units.value)} · {bitten.bites.length} values{bitten.whites && ' and paper'}
              {' '}· {minutes(bitten.bites.reduce((sum, { bite }) => sum + bite.bite_min, 0))} in the bath
            </p>
            <p class="sheet-blank"><span>Date</span><span>By</span><span>Bath, {conversion('°C', 1).unit}</span></p>
          </div>
          {link && (
            <figure class="sheet-qr">
              <QrCode text={fromDisk ? link : `${address()}#${link}`} label="This plan as a QR code" onShown={() => setCoded(true)} />
              <figcaption>{fromDisk ? 'the plan: paste it into Platewright' : 'this plan in Platewright'}</figcaption>
            </figure>
          )}
        </header>
        {!ready && <NotYetWhole what="its amounts and its code" />}
        {notes && <p class="sheet-notes">{notes}</p>}
        {faults.length > 0 && <p class="sheet-notes">The proof on the page shows this plan with {faults.length === 1 ? 'a fault' : `${faults.length} faults`} put into it. The work below is as it should be done.</p>}
        {warnings.length > 0 && (
          <section class="sheet-warnings" aria-labelledby="sheet-warnings">
            <h2 id="sheet-warnings">Before copper is spent</h2>
            <ul>{warnings.map((one) => <li key={one.field + explained(one)}>{explained(one)}</li>)}</ul>
          </section>
        )}
        <section class="sheet-needs" aria-labelledby="sheet-needs">
          <h2 id="sheet-needs">To have ready</h2>
          <dl>
            {benchNeeds(all).map(({ name, things }) => (
              <div key={name}><dt>{name}</dt><dd><ul>{things.map((thing) => <li key={thing}>{thing}</li>)}</ul></dd></div>
            ))}
          </dl>
          <p class="sheet-decide"><b>With every caution below:</b> {decide.decide} {decide.classes}</p>
        </section>
        {(Object.keys(PARTS) as BenchPart[]).map((part) => {
          const steps = inPart(part);
          if (!steps.length) return null;
          const bites = steps.filter(({ step }) => isBite(step));
          const first = steps.findIndex(({ step }) => isBite(step));
          const plain = (some: typeof steps) => (some.length > 0 && (
            <ol class="sheet-steps" start={some[0]?.number}>
              {some.map((one) => <StepRow key={one.step.id} {...one} short={short} begin_min={shop.value.begin_min} />)}
            </ol>
          ));
          return (
            <section key={part} class="sheet-part" aria-labelledby={`sheet-${part}`}>
              {/* No browser but one keeps a heading with what follows, so both are one block. */}
              <div class="sheet-keep">
                <h2 id={`sheet-${part}`}>{PARTS[part]}</h2>
                {first !== 0 && plain(steps.slice(0, 1))}
              </div>
              {first < 0 ? plain(steps.slice(1)) : (
                <>
                  {plain(steps.slice(1, first))}
                  <BiteTable rows={bites} short={short} begin_min={shop.value.begin_min} values={summary.value?.values ?? []} bath_c={summary.value?.bath.temperature_c ?? []} order={bitten} />
                  {plain(steps.slice(first + bites.length))}
                </>
              )}
            </section>
          );
        })}
        <footer class="sheet-foot">
          <p>
            Calculated, not tried: your own bath and your own step plate are the better judges. Minutes between the steps are common
            practice; so is the film of ink that is wiped off again.
          </p>
        </footer>
      </article>
    </View>
  );
}

const minutes = (of: number): string => `${Number(of.toFixed(2))}\u00a0min`;
