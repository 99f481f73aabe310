import { CLOCK_OPEN, note, putAway, tell } from '../store/notifications.ts';
import { readKept } from '../store/persisted.ts';

/* Has the browser keep the hosted page, and tells of a newer one. The single file needs none of it, and has none. */

const NEWER = 'newer-page';

/** Whether this copy of the page can be kept: it is hosted, and the browser has somewhere to keep it. */
function canBeKept(): boolean {
  return document.querySelector('link[rel="manifest"]') !== null && 'serviceWorker' in navigator;
}

/** Keeps the page for when there is no network. Nothing is lost where the browser refuses. */
export async function keepPage(): Promise<void> {
  if (!canBeKept()) return;
  const kept = await navigator.serviceWorker.register('keeper.js').catch(() => null);
  if (!kept) return;
  const hear = (worker: ServiceWorker | null): void => {
    worker?.addEventListener('statechange', () => {
      // The first of all takes over from nobody.
      if (worker.state === 'installed' && navigator.serviceWorker.controller) offer(worker);
    });
  };
  hear(kept.installing);
  kept.addEventListener('updatefound', () => hear(kept.installing));
  if (kept.waiting && navigator.serviceWorker.controller) offer(kept.waiting);
}

/** A newer page is there: it waits until its user wants it, or the page is opened anew. */
function offer(worker: ServiceWorker): void {
  const use = (): void => {
    if (readKept(CLOCK_OPEN)) {
      tell('The clock is in use: the newer page waits until it is done.');
      return;
    }
    putAway(NEWER);
    navigator.serviceWorker.addEventListener('controllerchange', () => location.reload(), { once: true });
    worker.postMessage('take over');
  };
  note({
    key: NEWER,
    words: 'A newer Platewright is there. It is used when you next open the page; your plan stays as it is.',
    acts: [{ name: 'use it now', run: use }],
  });
}
