/** What is still to be fetched, for `fetchAll`. */
const waiting = new Set<() => Promise<unknown>>();

/**
 * Fetches a part of the page when it is first wanted, or before, once there is nothing else to do. In the single
 * file it is there already; in the hosted folder it is a file of its own, so that the page opens light.
 */
export function ahead<T>(load: () => Promise<T>): () => Promise<T> {
  let part: Promise<T> | null = null;
  const fetchPart = (): Promise<T> => {
    part ??= load().then((found) => {
      waiting.delete(fetchPart);
      return found;
    }, () => {
      part = null;
      throw new Error('A part of the page could not be fetched. Your plan is safe; look at the connection and try again.');
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
