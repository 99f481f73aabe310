import { said } from '../store/results.ts';
import { ahead } from './ahead.ts';
import type { Answer, Args, StudyCall } from './calls.ts';
import { studiesStarter } from './start.ts';
import { WorkerClient } from './workerClient.ts';

/* Workers of their own for what takes long: fetched and started when something of it is first asked for. */

/** Workers at most: the first answers what the hand asks, the others help with long sums. */
const MOST_WORKERS = 4;

const ready = ahead(studiesStarter);
const links: WorkerClient<StudyCall>[] = [];

/** How many workers of the studies this machine is good for. */
export const lanes = Math.min(MOST_WORKERS, Math.max(1, (navigator.hardwareConcurrency || 2) - 1));

/** Asks a worker of the studies. Whoever waits for the answer hears of a panic. */
export function askStudies<C extends StudyCall>(call: C, ...args: Args<C>): Promise<Answer<C>> {
  return askLane(0, call, ...args);
}

/** Breaks off what the worker that answers the hand is at, whoever asked for it: all of them are told. */
export function breakOff(): void {
  links[0]?.leave('it was stopped');
}

/** The same of one of several, for sums that are shared out. */
export async function askLane<C extends StudyCall>(lane: number, call: C, ...args: Args<C>): Promise<Answer<C>> {
  const start = await ready().catch((error: Error) => {
    // Not every asker has a place for words.
    said.value = error.message;
    throw error;
  });
  const link = links[lane % lanes] ?? new WorkerClient<StudyCall>(() => undefined, start);
  links[lane % lanes] = link;
  return link.ask(call, ...args);
}
