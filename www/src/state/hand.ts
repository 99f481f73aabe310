import type { Plan } from '../reckon/protocol';
import { has, readyToStart } from '../reckon/start';

/*
 * The page opens with a module that knows nothing of areas by hand or of later states. When a plan first has
 * any, or asks for specks to be merged away, a module that knows everything takes its place.
 */

const WITH_HAND = 'hand-source hand-wasm';

let start: () => Worker;
let complete = false;
let fetching: Promise<void> | null = null;
let renew: () => void = () => undefined;

/** Readies the module that opens the page. `whenComplete` is called when the other takes over. */
export async function readyForPage(whenComplete: () => void): Promise<void> {
  complete = !has(WITH_HAND);
  renew = whenComplete;
  start = await readyToStart();
}

/** Starts one more worker of the module in force. */
export function startWorker(): Worker {
  return start();
}

/** Whether the module in force knows areas by hand. */
export function knowsHand(): boolean {
  return complete;
}

/** Sees to it that the module that knows areas by hand is in force. */
export function withHand(): Promise<void> {
  if (complete) return Promise.resolve();
  fetching ??= readyToStart(WITH_HAND).then((next) => {
    start = next;
    complete = true;
    renew();
  }).finally(() => { fetching = null; });
  return fetching;
}

/** The parts of a plan file that only that module can read; every other would leave them out. */
const ITS_PARTS = /"(areas|lines|states|edition)"/;

/** The same where a plan file needs it. */
export async function handForText(json: string): Promise<void> {
  if (ITS_PARTS.test(json)) await withHand();
}

/** The same where a plan needs it; null where nothing has to be waited for. */
export function handFor(plan: Plan): Promise<void> | null {
  const needed = (plan.areas?.length ?? 0) > 0 || plan.picture.smallest_mm > 0 || plan.lines || plan.states || plan.edition;
  return needed && !complete ? withHand() : null;
}
