import { computed, signal } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import type { Value } from '../../engine/protocol.ts';
import { usePlan } from '../../store/plan.ts';
import { errors, patches, stale, summary } from '../../store/results.ts';
import { Told } from '../../ui/Said.tsx';
import { Term } from '../glossary/Term.tsx';
import { MinutesEntry, minutesWords } from '../../ui/MinutesEntry.tsx';
import { PixelCanvas } from '../../ui/PixelCanvas.tsx';
import { explained } from '../../store/settings.ts';

interface Row { name: string; unit: string; term?: string; cell: (value: Value, count: number) => ComponentChildren }

const ROWS: Row[] = [
  { name: 'Bite', unit: 'min', cell: (value) => (value.index === 0 ? '–' : <MinutesEntry index={value.index - 1} steps={false} unit={false} unread={unread} saidBy="scale-unread scale-wrong" />) },
  { name: 'In the bath', unit: 'min', cell: (value) => minutesWords(value.cumulative_min) },
  { name: 'Stop out', unit: 'after bite', term: 'stop-out', cell: stopOut },
  { name: 'Depth', unit: 'µm', cell: (value) => value.mean_depth_um.toFixed(1) },
  { name: 'L*', unit: '', term: 'lightness', cell: (value) => value.lightness.toFixed(0) },
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

/** Paper and every value as printed, with the numbers beneath, and in words what deserves a look. */
export function ValueScale() {
  const now = summary.value;
  const values = now?.values ?? [];
  return (
    <section class="scale" aria-labelledby="scale-title" data-stale={stale.value}>
      <h2 id="scale-title" class="unseen">Value scale</h2>
      {now?.values_scope && <p class="scale-scope">{now.values_scope}</p>}
      <div class="scale-scroll" tabIndex={0} role="group" aria-label="Value scale, scrolls sideways when narrow">
        <table class="scale-table" style={{ '--values': values.length }}>
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
          <tbody>
            {ROWS.map((row) => (
              <tr key={row.name}>
                <th scope="row">{row.term ? <Term id={row.term}>{row.name}</Term> : row.name}{row.unit && <span class="unit"> {row.unit}</span>}</th>
                {values.map((value) => <td key={value.index}>{row.cell(value, values.length)}</td>)}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {unread.value && <p class="problem" id="scale-unread" role="alert">{unread.value}</p>}
      <Warnings />
    </section>
  );
}

function Warnings() {
  // The caution about the cloud in the dust box stands with the dust box.
  const warnings = (summary.value?.warnings ?? []).filter((warning) => warning.field !== 'dust');
  const bites = usePlan((plan) => plan.bites.length);
  if (stale.value) {
    return (
      <div class="scale-quiet">
        <p>These are the numbers of the last plan that could be calculated.</p>
        <Told all={heldInBites.value} id="scale-wrong" />
      </div>
    );
  }
  if (!summary.value) return <p class="scale-quiet">The values are being calculated.</p>;
  if (!warnings.length) {
    return <p class="scale-quiet">Each value can be told from the next, and the ground holds through all {bites} bites.</p>;
  }
  return (
    <div class="scale-warnings" tabIndex={0} role="group" aria-label="What deserves a look">
      <ul>{warnings.map((warning) => <li key={warning.field + explained(warning)}>{explained(warning)}</li>)}</ul>
    </div>
  );
}
