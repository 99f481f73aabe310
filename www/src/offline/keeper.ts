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
  event.waitUntil(caches.open(OURS + KEPT.name).then((kept) => Promise.all(KEPT.files.map(async (file) => {
    const answer = await fetch(file, { cache: 'no-cache' });
    if (!isSound(answer, file)) throw new Error(`${file} is not what it should be`);
    await kept.put(file, answer);
  }))));
});

self.addEventListener('activate', (event) => {
  event.waitUntil(caches.keys().then((names) => Promise.all(
    names.filter((name) => name.startsWith(OURS) && name !== OURS + KEPT.name).map((name) => caches.delete(name)),
  )));
});

self.addEventListener('message', ({ data }) => { if (data === 'take over') void self.skipWaiting(); });

// The clock's notice leads back to the page.
self.addEventListener('notificationclick', (event) => {
  event.notification.close();
  event.waitUntil(self.clients.matchAll({ type: 'window', includeUncontrolled: true }).then(([page]) => page?.focus()));
});

self.addEventListener('fetch', (event) => {
  const { request } = event;
  if (request.method === 'GET' && new URL(request.url).origin === self.location.origin) event.respondWith(answer(request));
});

/** A host may answer for a file that is gone with a page of its own. */
function isSound(answer: Response, file: string): boolean {
  return answer.ok && (file === './' || answer.headers.get('content-type')?.startsWith('text/html') !== true);
}

/** What is kept, else what the network has. The page itself is one document, whatever stands behind its address. */
async function answer(request: Request): Promise<Response> {
  const kept = await caches.open(OURS + KEPT.name);
  const own = request.mode === 'navigate' && new URL(request.url).pathname === new URL(self.registration.scope).pathname;
  const found = await kept.match(own ? self.registration.scope : request);
  // The page asks past what is kept: whether there is a newer one, or for a part that it could not use.
  if (found && request.cache === 'reload') {
    const answer = await fetch(request).catch(() => null);
    if (!answer || !isSound(answer, request.url)) return found;
    await kept.put(request, answer.clone());
    return answer;
  }
  return found && request.cache !== 'no-store' ? found : fetch(request);
}
