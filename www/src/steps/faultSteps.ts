import type { FaultStep } from '../store/faults.ts';

/** Steps of the bench at which something of a step of the plan can go wrong. */
const AT: Record<FaultStep, string[]> = {
  dust: ['degrease', 'box', 'wait', 'dusting'],
  bake: ['heat', 'bake'],
  bites: ['whites', 'bath', 'spit', 'bite', 'stop'],
  ink: ['soak', 'blankets', 'ink', 'wipe', 'press'],
};

/** The step of the plan whose faults belong to a step of the bench, by that one's id; null where none can be told. */
export function faultStepAt(id: string): FaultStep | null {
  // Later dustings and bites have a number behind their name.
  const key = id.replace(/-\d+$/, '');
  return (Object.keys(AT) as FaultStep[]).find((step) => AT[step].includes(key)) ?? null;
}
