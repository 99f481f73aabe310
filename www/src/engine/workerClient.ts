import { startWorker, type Start } from './start.ts';
import { feel } from './heartbeat.ts';
import type { Answer, Args, Beat, Call, Hold, Returned, Sent, StudyCall } from './calls.ts';

/** A worker broke while it owed this answer; it has been replaced. */
export class WorkerLost extends Error {}
/** The system ended it, without a word: it was nothing that it was asked. */
export class WorkerEnded extends WorkerLost {}
/** The worker refused this request. */
export class Refused extends Error {}

/** Why there is no answer, in words, for the user. */
export function wordsOf(error: unknown): string {
  if (error instanceof WorkerLost) return 'The calculation broke off. Ask again.';
  return error instanceof Error ? error.message : String(error);
}

/** Workers lost in a row, without one answer between, before no more are started. */
const MOST_LOST = 5;

export const ENDED = 'the system ended the worker';

let locks = 0;

/** Asks, and once more where the system has ended the worker meanwhile: its answer is not to be lost by that. */
export async function surely<T>(ask: () => Promise<T>): Promise<T> {
  try {
    return await ask();
  } catch (error) {
    if (error instanceof WorkerEnded) return ask();
    throw error;
  }
}

/** Gives a worker a lock of its own to hold, or has its pulse felt where the browser has no locks. */
function askForSigns(worker: Worker, gone: () => void): void {
  if (!('locks' in navigator)) {
    const beat = feel(gone);
    worker.postMessage({ beat } satisfies Beat, [beat]);
    return;
  }
  locks += 1;
  worker.postMessage({ hold: `platewright-${performance.timeOrigin}-${Math.random()}-${locks}` } satisfies Hold);
}

/** A picture that the page has unpacked: the worker takes it over. */
function isUnpacked(arg: unknown): arg is { bitmap: ImageBitmap } {
  return arg instanceof Object && 'bitmap' in arg && arg.bitmap instanceof ImageBitmap;
}

interface Waiting { by: Worker; resolve: (answer: unknown) => void; reject: (error: Error) => void }

/**
 * One worker and the answers it still owes. It is started when first asked, and answers in the order asked, but for
 * pictures: other questions are answered while one is decoded.
 */
export class WorkerClient<Known extends StudyCall = Call> {
  /** Marks of the picture and plan this worker holds; -1 after a start. */
  pictureSet = -1;
  planSet = -1;
  /** Room for the bytes of the next answer, handed over with the question. */
  room: ArrayBuffer | null = null;
  private worker: Worker | null = null;
  private waiting = new Map<number, Waiting>();
  private nextId = 1;
  private lostInARow = 0;

  constructor(private readonly onLost: (words: string) => void = () => undefined, private readonly start: Start = startWorker) {}

  get idle(): boolean {
    return this.waiting.size === 0;
  }

  ask<C extends Known>(call: C, ...args: Args<C>): Promise<Answer<C>> {
    if (this.lostInARow > MOST_LOST) return Promise.reject(new WorkerLost('no worker can be started'));
    const id = this.nextId++;
    return new Promise<Answer<C>>((resolve, reject) => {
      // What the build made of the Rust ties each answer's type to its call.
      this.worker ??= this.launch();
      this.waiting.set(id, { by: this.worker, resolve: (answer) => resolve(answer as Answer<C>), reject });
      // A copy that is handed over leaves nothing behind on the way.
      const handed: unknown[] = args.map((arg: unknown) => (arg instanceof Uint8Array ? arg.slice() : arg));
      const { room } = this;
      this.room = null;
      const over: Transferable[] = handed.flatMap((arg): Transferable[] => (arg instanceof Uint8Array ? [arg.buffer as ArrayBuffer] : isUnpacked(arg) ? [arg.bitmap] : []));
      this.worker.postMessage({ id, call, args: handed, room } satisfies Sent, room ? [room, ...over] : over);
    });
  }

  /** Has a new worker answer what is asked from now on; the old one still answers what it owes. */
  renew(): void {
    const old = this.worker;
    this.worker = null;
    this.pictureSet = -1;
    this.planSet = -1;
    if (old) this.letGo(old);
  }

  /** Ends the worker for good; whoever waits is told. */
  end(): void {
    this.lostInARow = MOST_LOST + 1;
    this.leave('the worker was ended');
  }

  /** Breaks off what the worker is at, and lets go of its memory; the next question starts a fresh one. */
  leave(words: string, why: Error = new WorkerLost(words)): void {
    this.worker?.terminate();
    this.worker = null;
    this.pictureSet = -1;
    this.planSet = -1;
    const owed = [...this.waiting.values()];
    this.waiting.clear();
    for (const { by, reject } of owed) {
      by.terminate();
      reject(why);
    }
  }

  /** Ends a worker that was taken over from, once it owes nothing. */
  private letGo(old: Worker): void {
    if (![...this.waiting.values()].some(({ by }) => by === old)) old.terminate();
  }

  private launch(): Worker {
    const worker = this.start();
    worker.addEventListener('message', (event: MessageEvent<Returned>) => this.receive(event.data, worker));
    worker.addEventListener('error', (event) => {
      event.preventDefault();
      this.replace(event.message || 'the worker could not be started');
    });
    askForSigns(worker, () => this.mourn(worker));
    return worker;
  }

  private receive(returned: Returned, from: Worker): void {
    if ('panic' in returned) {
      this.replace(returned.panic);
      return;
    }
    if ('held' in returned) {
      this.watch(from, returned.held);
      return;
    }
    const waiting = this.waiting.get(returned.id);
    if (!waiting) return;
    this.lostInARow = 0;
    this.waiting.delete(returned.id);
    if ('failed' in returned) waiting.reject(new Refused(returned.failed));
    else waiting.resolve(returned.answer);
    if (from !== this.worker) this.letGo(from);
  }

  /** Has the browser say when the lock that a worker holds is free: the system has ended it, of which there is no word. */
  private watch(worker: Worker, lock: string): void {
    navigator.locks.request(lock, () => this.mourn(worker)).catch(() => undefined);
  }

  /** A worker has ended, by the page or by the system. */
  private mourn(worker: Worker): void {
    if (worker === this.worker || [...this.waiting.values()].some(({ by }) => by === worker)) this.replace(ENDED, new WorkerEnded(ENDED));
  }

  /** A broken worker is in no known state: end it, and let its askers know. */
  private replace(words: string, why?: Error): void {
    // One that never gets as far as an answer would be started for ever.
    this.lostInARow += 1;
    this.leave(words, why);
    this.onLost(words);
  }
}
