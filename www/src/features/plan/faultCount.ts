import { faultKinds, stepOfFault } from '../../store/faults.ts';
import { usePlan } from '../../store/plan.ts';

/** How many of a plan's faults happen in a step, in words; nothing where none does. */
export function useFaultCount(step: string): string {
  void faultKinds.value;
  const count = usePlan(({ faults = [] }) => faults.filter(({ kind }) => stepOfFault(kind) === step).length);
  return count === 0 ? '' : count === 1 ? 'one fault' : `${count} faults`;
}
