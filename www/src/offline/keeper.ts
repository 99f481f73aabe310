/*
 * Keeps the hosted page on the device, so that it opens without a network. A newer page is kept beside the one in use and
 * takes over when no window shows that one any more, or when its user asks for it: never under a running clock.
 */

export {};

declare const self: ServiceWorkerGlobalScope;
/** What the build has written: a name for just these files, and their addresses beside the page. */
declare const KEPT: { name: string; files: string[] };

/** Keepers of this page: others of the same host are not ours. */
const OURS = 'platewright-';

self.addEventListener('install', (event) => {
  event.waitUntil(caches.open(OURS + KEPT.name).then((kept) => kept.addAll(KEPT.files)));
});

self.addEventListener('activate', (event) => {
  event.waitUntil(caches.keys().then((names) => Promise.all(
    names.filter((name) => name.startsWith(OURS) && name !== OURS + KEPT.name).map((name) => caches.delete(name)),
  )));
});

self.addEventListener('message', ({ data }) => { if (data === 'take over') void self.skipWaiting(); });

self.addEventListener('fetch', (event) => {
  const { request } = event;
  if (request.method === 'GET' && new URL(request.url).origin === self.location.origin) event.respondWith(answer(request));
});

/** What is kept, else what the network has. The page itself is one document, whatever stands behind its address. */
async function answer(request: Request): Promise<Response> {
  const kept = await caches.open(OURS + KEPT.name);
  const own = request.mode === 'navigate' && new URL(request.url).pathname === new URL(self.registration.scope).pathname;
  const found = await kept.match(own ? self.registration.scope : request);
  return found ?? fetch(request);
}
