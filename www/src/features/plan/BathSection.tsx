import { computed } from '@preact/signals';
import { measured } from '../../store/settings.ts';
import { panel } from '../../store/notifications.ts';
import { usePlan } from '../../store/plan.ts';
import { constantIn, errors, stale, summary } from '../../store/results.ts';
import { Figures } from './Figures.tsx';
import { OwnShop } from './OwnShop.tsx';
import { Said, Told } from '../../ui/Said.tsx';
import { Entries, Section } from './Section.tsx';
import { TodaysBath } from './TodaysBath.tsx';

/** What is wrong with constants of the calibration; none has an entry of its own. */
const wrong = computed(() => errors.value.filter(({ field }) => constantIn(field) !== null));

export function BathSection() {
  const calibrated = usePlan((plan) => plan.calibration !== undefined);
  const calibration = usePlan((plan) => plan.calibration_name);
  const bath = summary.value?.bath;
  return (
    <Section name="bath"
      why="[[ferric-chloride|Ferric chloride]] eats the copper between the domes, and [[undercut|sideways under them]]. How fast depends on strength, warmth, movement, and how much copper it has [[tired-bath|eaten already]]."
      caution="bath">
      <Entries part="bath" />
      <TodaysBath />
      <p class="acts"><button type="button" class="act" onClick={() => { panel.value = 'baths'; }}>Bath book…</button> <button type="button" class="act" onClick={() => { panel.value = 'calibrate'; }}>Calibrate…</button></p>
      {calibrated && (
        <div data-field="calibration" tabIndex={-1}>
          <p class="finding">Calculated with {calibration ? `“${calibration}”` : 'this shop’s own constants'}.</p>
          <Told all={wrong.value} />
          <Said field="calibration_name" />
        </div>
      )}
      {bath && (
        <Figures stale={stale.value} rows={[
          ['Bites at first', (bath.rate_um_per_min[0] ?? 0).toFixed(2), 'µm/min'],
          ['At the last bite', (bath.rate_um_per_min.at(-1) ?? 0).toFixed(2), 'µm/min'],
          ...(bath.temperature_c.at(-1) === bath.temperature_c[0] ? [] : [['Bath at the last bite', measured(bath.temperature_c.at(-1) ?? 0, '°C', 1), ''] satisfies [string, string, string]]),
          ['Copper this plate gives up', bath.dissolved_g.toFixed(2), 'g'],
          ['Copper in the bath afterwards', bath.copper_end_g_per_l.toFixed(1), 'g/L'],
        ]} />
      )}
      <OwnShop step="bath" />
    </Section>
  );
}
