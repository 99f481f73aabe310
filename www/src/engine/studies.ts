import { signal } from '@preact/signals';
import { ahead } from './ahead.ts';
import { workersFor } from './memory.ts';
import type { PartFault } from './partFault.ts';
import type { Answer, Args, StudyCall } from './calls.ts';
import { studiesStarter, type Start } from './start.ts';
import { WorkerClient } from './workerClient.ts';

/* Workers of their own for what takes long: fetched and started when something of it is first asked for. */

/** Workers at most: the first answers what the hand asks, the others help with long sums. */
const MOST_WORKERS = 4;

const ready = ahead(studiesStarter);
/** Why there are no studies, and the way to try again; whoever has asked gets its answer once they are there. */
export const noStudies = signal<{ fault: PartFault; again: () => void } | null>(null);

let coming: Promise<Start> | null = null;

/** What starts a worker of the studies. Where it can't be had that is told, and whoever asks waits until it is there. */
function starter(): Promise<Start> {
  coming ??= new Promise((resolve) => {
    const fetchIt = (): void => {
      noStudies.value = null;
      ready().then(resolve, (fault: PartFault) => { noStudies.value = { fault, again: fetchIt }; });
    };
    fetchIt();
  });
  return coming;
}
const links: WorkerClient<StudyCall>[] = [];

/** How many workers of the studies this machine is good for. */
export const lanes = Math.min(workersFor(MOST_WORKERS), Math.max(1, (navigator.hardwareConcurrency || 2) - 1));

/** Asks a worker of the studies. Whoever waits for the answer hears of a panic. */
export function askStudies<C extends StudyCall>(call: C, ...args: Args<C>): Promise<Answer<C>> {
  return askLane(0, call, ...args);
}

/** Breaks off what the worker that answers the hand is at, or another, whoever asked for it: all of them are told. */
export function breakOff(lane = 0): void {
  links[lane % lanes]?.leave('it was stopped');
}

/** The same of one of several, for sums that are shared out. */
export async function askLane<C extends StudyCall>(lane: number, call: C, ...args: Args<C>): Promise<Answer<C>> {
  const start = await starter();
  const link = links[lane % lanes] ?? new WorkerClient<StudyCall>(() => undefined, start);
  links[lane % lanes] = link;
  return link.ask(call, ...args);
}
