import type { Answer, Args, Call } from './calls.ts';
import { WorkerClient } from './workerClient.ts';

/* Workers of their own for what takes long: started when something of it is first asked for. */

/** Workers at most: the first answers what the hand asks, the others help with long sums. */
const MOST_WORKERS = 4;

const links: WorkerClient[] = [];

/** How many workers of the studies this machine is good for. */
export const lanes = Math.min(MOST_WORKERS, Math.max(1, (navigator.hardwareConcurrency || 2) - 1));

/** Asks a worker of the studies. Whoever waits for the answer hears of a panic. */
export function askStudies<C extends Call>(call: C, ...args: Args<C>): Promise<Answer<C>> {
  return askLane(0, call, ...args);
}

/** The same of one of several, for sums that are shared out. */
export function askLane<C extends Call>(lane: number, call: C, ...args: Args<C>): Promise<Answer<C>> {
  const link = links[lane % lanes] ?? new WorkerClient();
  links[lane % lanes] = link;
  return link.ask(call, ...args);
}
