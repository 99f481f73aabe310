import { PartFault, partFault } from './partFault.ts';

/** What is still to be fetched, for `fetchAll`. */
const waiting = new Set<() => Promise<unknown>>();

/**
 * Fetches a part of the page when it is first wanted, or before, once there is nothing else to do. In the single
 * file it is there already; in the hosted folder it is a file of its own, so that the page opens light.
 * `what` begins the sentence where it can't be had.
 */
export function ahead<T>(load: () => Promise<T>, what = 'A part of the page'): () => Promise<T> {
  let part: Promise<T> | null = null;
  let failed = 0;
  const fetchPart = (): Promise<T> => {
    part ??= load().then((found) => {
      waiting.delete(fetchPart);
      return found;
    }, async (error: unknown) => {
      part = null;
      failed += 1;
      const fault = error instanceof PartFault ? error : await partFault(what);
      // A browser may remember a script that did not come; only the page loaded anew asks for it again.
      throw failed > 1 && !(error instanceof PartFault) ? new PartFault(fault.message, 'load') : fault;
    });
    return part;
  };
  waiting.add(fetchPart);
  return fetchPart;
}

/** Fetches all parts while nothing else is to be done, so that they are there when the network is not. */
export async function fetchAll(): Promise<void> {
  for (const fetchPart of [...waiting]) await fetchPart().catch(() => undefined);
}
