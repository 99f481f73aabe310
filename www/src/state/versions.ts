import type { Plan } from '../reckon/protocol';
import type { KeptPicture } from './vault';

/** A plan to lay beside another. */
export interface Version { name: string; plan: Plan; picture: KeptPicture | null }

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
