import { signal } from '@preact/signals';
import type { FaultInfo } from '../engine/protocol.ts';

/** What is known of every kind of fault; empty until something of it is first shown. */
export const faultKinds = signal<FaultInfo[]>([]);

/** Steps of the work in which something can go wrong. */
export type FaultStep = FaultInfo['step'];
/** The step whose faults are being weighed, at the address of that. */
export const costOf = signal<FaultStep>('dust');
/** The kind that is weighed first, where one was asked for; else the first of the step. */
export const costKind = signal<FaultInfo['kind'] | null>(null);
/** The code of the exercise in hand; null while its faults are chosen. */
export const exercise = signal<string | null>(null);

/** The step in which a kind of fault happens; unknown until the kinds are there. */
export function stepOfFault(kind: FaultInfo['kind'] | undefined): FaultStep | undefined {
  return faultKinds.value.find((info) => info.kind === kind)?.step;
}
