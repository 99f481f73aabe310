import type { Answer, Args, Call } from './calls.ts';
import { surely, WorkerClient } from './workerClient.ts';

/*
 * One worker for pictures, started when something of them is first asked for. It is kept apart from those that
 * reckon, so that a crop frame never waits for a proof.
 */

// Whoever waits for the answer hears of a panic.
const link = new WorkerClient();

export function askReader<C extends Call>(call: C, ...args: Args<C>): Promise<Answer<C>> {
  return surely(() => link.ask(call, ...args));
}
