import { computed, signal } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import type { Diagnostic, Value } from '../../engine/protocol.ts';
import { usePlan } from '../../store/plan.ts';
import { errors, patches, stale, summary, toLookAt } from '../../store/results.ts';
import { GoTo } from '../../ui/GoTo.tsx';
import { Told } from '../../ui/Said.tsx';
import { Term } from '../glossary/Term.tsx';
import { MinutesEntry, minutesWords } from '../../ui/MinutesEntry.tsx';
import { PixelCanvas } from '../../ui/PixelCanvas.tsx';
import { explained } from '../../store/settings.ts';
import { Spoken } from './Spoken.tsx';

interface Row { name: string; unit: string; term?: string; cell: (value: Value, count: number) => ComponentChildren }

/** Along the foot of the proof. */
const FIRST: Row[] = [
  { name: 'Bite', unit: 'min', cell: (value) => (value.index === 0 ? '–' : <MinutesEntry index={value.index - 1} steps={false} unit={false} unread={unread} saidBy="scale-unread scale-wrong" />) },
  { name: 'L*', unit: '', term: 'lightness', cell: (value) => value.lightness.toFixed(0) },
];

/** Unfolded beneath. */
const MORE: Row[] = [
  { name: 'In the bath', unit: 'min', cell: (value) => minutesWords(value.cumulative_min) },
  { name: 'Stop out', unit: 'after bite', term: 'stop-out', cell: stopOut },
  { name: 'Depth', unit: 'µm', cell: (value) => value.mean_depth_um.toFixed(1) },
  { name: 'Density', unit: '', cell: (value) => value.density.toFixed(2) },
  { name: 'Of the plate', unit: '%', cell: (value) => (100 * value.area_share).toFixed(0) },
];

function stopOut(value: Value, count: number): string {
  if (value.index === 0) return 'first';
  if (value.index === count - 1) return 'never';
  return String(value.index);
}

/** What is said of words typed for a bite that are no number. */
const unread = signal('');
/** What is wrong with the bites themselves: their minutes can be typed here, too. */
const heldInBites = computed(() => errors.value.filter(({ field }) => field.startsWith('bites.')));
/** The rest of the table stands open. */
const unfolded = signal(false);

/** Paper and every value as printed, along the foot of the proof, with minutes and L*; the rest unfolds beneath. */
export function ValueScale() {
  const now = summary.value;
  const values = now?.values ?? [];
  const rows = (of: Row[]) => of.map((row) => (
    <tr key={row.name}>
      <th scope="row"><span class={row.unit ? 'row-name' : ''}>{row.term ? <Term id={row.term}>{row.name}</Term> : row.name} </span>{row.unit && <span class="unit">{row.unit}</span>}</th>
      {values.map((value) => <td key={value.index}>{row.cell(value, values.length)}</td>)}
    </tr>
  ));
  return (
    <section class="scale" aria-labelledby="scale-title" data-stale={stale.value}>
      <h2 id="scale-title" class="unseen">Value scale</h2>
      {now?.values_scope && <p class="scale-scope">{now.values_scope}</p>}
      <div class="scale-scroll" tabIndex={0} role="group" aria-label="Value scale, scrolls sideways when narrow">
        <table class="scale-table" data-unfolded={unfolded.value} style={{ '--values': values.length }}>
          <caption class="unseen">Paper and every value, lightest first. {now?.values_scope}</caption>
          <thead>
            <tr>
              <th scope="col"><span class="unseen">What</span></th>
              {values.map((value) => (
                <th scope="col" key={value.index}>
                  <PixelCanvas pixels={patches.value[value.index] ?? null} class="patch"
                    label={`Printed patch of ${value.index === 0 ? 'what the picture keeps white' : `value ${value.index}`}, L* ${value.lightness.toFixed(0)}`} />
                  <span class="patch-name">{value.index === 0 ? 'paper' : value.index}</span>
                </th>
              ))}
            </tr>
          </thead>
          <tbody>{rows(FIRST)}</tbody>
          <tbody id="scale-more" class="scale-more" hidden={!unfolded.value}>{rows(MORE)}</tbody>
        </table>
      </div>
      {unread.value && <p class="problem" id="scale-unread" role="alert">{unread.value}</p>}
      <Spoken />
      <div class="scale-foot">
        <Warnings />
        <button type="button" class="quiet scale-unfold" aria-expanded={unfolded.value} aria-controls="scale-more" onClick={() => { unfolded.value = !unfolded.value; }}>
          {unfolded.value ? 'fewer numbers' : 'all numbers'}
        </button>
      </div>
    </section>
  );
}

function Warnings() {
  const warnings = toLookAt.value;
  const bites = usePlan((plan) => plan.bites.length);
  if (stale.value) {
    return (
      <div class="scale-quiet">
        <p>These are the numbers of the last valid plan.</p>
        <Told all={heldInBites.value} id="scale-wrong" />
      </div>
    );
  }
  if (!summary.value) return <p class="scale-quiet">The values are being calculated.</p>;
  const [first, ...others] = warnings;
  if (!first) return <p class="scale-quiet">Each value can be told from the next, and the ground holds through all {bites} bites.</p>;
  const look = <Look of={first} />;
  if (others.length === 0) return <ul class="scale-warnings">{look}</ul>;
  return (
    <details class="scale-warnings">
      <summary>{warnings.length} things deserve a look</summary>
      <ul>{look}{others.map((one) => <Look key={one.field + explained(one)} of={one} />)}</ul>
    </details>
  );
}

function Look({ of }: { of: Diagnostic }) {
  return (
    <li>
      {explained(of)}{' '}
      <GoTo field={of.field} />
    </li>
  );
}
