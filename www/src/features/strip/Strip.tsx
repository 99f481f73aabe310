import { useEffect, useMemo } from 'preact/hooks';
import { signal } from '@preact/signals';
import { gazeMoved } from '../../engine/scheduler.ts';
import { panel, tell } from '../../store/notifications.ts';
import { change, plan } from '../../store/plan.ts';
import { summary } from '../../store/results.ts';
import type { Plan } from '../../engine/protocol.ts';
import { firstSettings, type StripSettings } from './vary.ts';
import { stateWords } from '../../store/versions.ts';
import { Panel } from '../../ui/Panel.tsx';
import { StripControls } from './StripControls.tsx';
import { StripView } from './StripView.tsx';
import './strip.css?sheet';

/** What the strip was last set to, for as long as the page is open. */
const chosen = signal<StripSettings | null>(null);

/** The test strip in its panel. */
export function Strip() {
  useEffect(() => () => gazeMoved(), []);
  const base = plan.value;
  // As they are once known: opened by its address, the strip is there before the plan's numbers.
  const known = summary.value !== null;
  const shares = useMemo(() => (known ? summary.value?.values ?? [] : []).map((value) => value.area_share), [known]);
  const settings = chosen.value ?? firstSettings(base);
  const take = (next: Plan, what: string): void => {
    change(`test strip: ${what}`, next);
    tell(`Taken into the plan: ${what}.`);
    panel.value = null;
  };
  return (
    <Panel name="strip" class="strip">
      <p class="strip-lead">One choice varied from patch to patch, everything else as in your plan. Choose two for a grid.</p>
      {(base.lines || stateWords(base)) && (
        <p class="strip-lead">
          {base.lines && 'The patches are of the tone alone: the etched lines are left out. '}
          {stateWords(base) && `They are cut close to the upper right corner of the plate in ${stateWords(base)}: later bites and tools show as far as they reach there.`}
        </p>
      )}
      <StripControls base={base} settings={settings} onChange={(next) => { chosen.value = next; }} />
      <StripView base={base} shares={shares} settings={settings} onTake={take} />
    </Panel>
  );
}
