import { AnyLink } from './link';
import type { ShopAnswers, ShopRequest } from './shopProtocol';
import { readyToStart } from './start';

/* The second module: fetched and started when something of it is first asked for. */

type ShopLink = AnyLink<ShopRequest, ShopAnswers>;

/** Workers at most: the first answers what the hand asks, the others help with long sums. */
const MOST_WORKERS = 4;

let ready: Promise<() => Worker> | undefined;
const links: ShopLink[] = [];

/** How many workers of the shop this machine is good for. */
export const lanes = Math.min(MOST_WORKERS, Math.max(1, (navigator.hardwareConcurrency || 2) - 1));

async function linkOf(lane: number): Promise<ShopLink> {
  ready ??= readyToStart('shop-source shop-wasm').catch((error: unknown) => {
    ready = undefined;
    throw error;
  });
  const start = await ready;
  // Whoever waits for the answer hears of a panic.
  return (links[lane] ??= new AnyLink<ShopRequest, ShopAnswers>(start, () => undefined));
}

/** Asks a worker of the shop; `lane` names which, for sums that are shared out. */
export async function askShop<R extends ShopRequest>(request: R, lane = 0): Promise<ShopAnswers[R['do']]> {
  return (await linkOf(lane % lanes)).ask(request);
}
