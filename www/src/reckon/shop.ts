import { AnyLink } from './link';
import type { ShopAnswers, ShopRequest } from './shopProtocol';
import { startWorker } from './start';

/* Workers of their own for what takes long: started when something of it is first asked for. */

type ShopLink = AnyLink<ShopRequest, ShopAnswers>;

/** Workers at most: the first answers what the hand asks, the others help with long sums. */
const MOST_WORKERS = 4;

const links: ShopLink[] = [];

/** How many workers of the shop this machine is good for. */
export const lanes = Math.min(MOST_WORKERS, Math.max(1, (navigator.hardwareConcurrency || 2) - 1));

/** Asks a worker of the studies; `lane` names which, for sums that are shared out. */
export function askShop<R extends ShopRequest>(request: R, lane = 0): Promise<ShopAnswers[R['do']]> {
  // Whoever waits for the answer hears of a panic.
  return (links[lane % lanes] ??= new AnyLink<ShopRequest, ShopAnswers>(startWorker, () => undefined)).ask(request);
}
