import { faultStepAt } from '../../steps/faultSteps.ts';
import { costOf } from '../../store/faults.ts';
import { panel } from '../../store/notifications.ts';

/** Beside a step, on the screen alone: leads to what its faults would cost this plan. */
export function CostAct({ id, name }: { id: string; name: string }) {
  const step = faultStepAt(id);
  if (!step) return null;
  return (
    <button type="button" class="quiet sheet-cost screen-only" onClick={() => { costOf.value = step; panel.value = 'cost'; }}>
      what would it cost if it went wrong? <span class="unseen">{name}</span>
    </button>
  );
}
