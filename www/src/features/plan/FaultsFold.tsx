import { useState } from 'preact/hooks';
import type { FaultStep } from '../../store/faults.ts';
import { usePlan } from '../../store/plan.ts';
import { later } from '../../ui/Later.tsx';
import { useFaultCount } from './faultCount.ts';

const FaultsHere = later('What could go wrong', async () => (await import('../faults/FaultsHere.tsx')).FaultsHere);

/** What could go wrong in a step; it is fetched when it is unfolded, or the plan has faults. */
export function FaultsFold({ step }: { step: FaultStep }) {
  const any = usePlan(({ faults = [] }) => faults.length > 0);
  const count = useFaultCount(step);
  const [open, setOpen] = useState(false);
  return (
    <details class="faults-fold screen-only" open={open || count !== ''} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>What could go wrong here{count && <span class="unit">, {count} in the plan</span>}</summary>
      {(open || any) && <FaultsHere step={step} />}
    </details>
  );
}
