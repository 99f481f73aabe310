import type { Plan } from '../engine/protocol.ts';
import { state } from './viewState.ts';
import type { KeptPicture } from './pictureStore.ts';

/** A plan to lay beside another, in one of its states; left out or 0 for the last. */
export interface Version { name: string; plan: Plan; picture: KeptPicture | null; state?: number }

/** Number of a plan's last state; 1 is the first proof. */
export function lastState(of: Plan): number {
  return (of.states?.length ?? 0) + 1;
}

/** Number of the state of the plan in hand that is looked at. */
export function stateInHand(of: Plan): number {
  return state.value === 0 ? lastState(of) : Math.min(state.value, lastState(of));
}

/** A state in words; empty for a plan that has no other than its first proof. */
export function stateWords(of: Plan, number = lastState(of)): string {
  if (lastState(of) === 1) return '';
  if (number === 1) return 'state 1, the first proof';
  const name = of.states?.[number - 2]?.name;
  return `state ${number}${name ? `, “${name}”` : ''}`;
}

/** A name with the state it stands for, where there is more than one. */
export function nameWithState(name: string, of: Plan, number = lastState(of)): string {
  const words = stateWords(of, number);
  return words ? `${name}, ${words}` : name;
}

let waiting: Version | null = null;

/** Lays this version beside the plan in hand when the comparison is opened next. */
export function compareWith(version: Version): void {
  waiting = version;
}

/** The version that waits for the comparison, once. */
export function takeWaiting(): Version | null {
  const version = waiting;
  waiting = null;
  return version;
}
