import type { Answer, Args, Call } from './calls.ts';
import { bytesOf, FAITHFULLY, headOf, UNPACK, type Given } from './handed.ts';
import { Refused, surely, WorkerClient } from './workerClient.ts';

/*
 * One worker for pictures, started when something of them is first asked for. It is kept apart from those that
 * reckon, so that a crop frame never waits for a proof.
 */

// Whoever waits for the answer hears of a panic.
const link = new WorkerClient();

export function askReader<C extends Call>(call: C, ...args: Args<C>): Promise<Answer<C>> {
  return surely(() => {
    const [file, ...rest] = args as unknown[];
    if (!(file instanceof Blob)) return link.ask(call, ...args);
    const ask = (given: Given): Promise<Answer<C>> => link.ask(call, ...[given, ...rest] as unknown as Args<C>);
    return readsFiles().then<Answer<C>>((reads) => (reads ? ask(file) : handOver(call, file, ask)));
  });
}

/** Hands over what of a file is needed. */
function handOver<Told>(call: Call, file: Blob, ask: (given: Given) => Promise<Told>): Promise<Told> {
  if (call === 'read_file') return bytesOf(file).then((bytes) => ask({ bytes }));
  return headOf(file).then((bytes) => ask({ bytes }).catch((error: unknown) => {
    if (!(error instanceof Refused) || error.message !== UNPACK) throw error;
    return createImageBitmap(file, FAITHFULLY).catch(() => null).then((bitmap) => ask({ bytes, bitmap }));
  }));
}

/** Whether it can read files: asked once, and only where it may not be. */
let reads: Promise<boolean> | null = null;

async function readsFiles(): Promise<boolean> {
  if (location.protocol !== 'file:') return true;
  reads ??= link.ask('reads_files');
  return reads.catch(() => { reads = null; return true; });
}
