/// <reference lib="webworker" />
/**
 * Stands between the installed page and the network for one thing only: where the server does not answer, a page that
 * says so comes instead of the browser's own. Nothing else is kept, no number ever: what is shown as live is live.
 */
declare const OFFLINE_VERSION: string;
declare const self: ServiceWorkerGlobalScope;

const CACHE = `offline-${OFFLINE_VERSION}`;
const SHELL = 'offline.html';
const CACHED_FILES = [SHELL, 'offline.js', 'outside.css', 'icon.svg'];

async function keep(): Promise<void> {
  const cache = await caches.open(CACHE);
  await cache.addAll(CACHED_FILES.map((path) => new Request(path, { cache: 'reload' })));
  await self.skipWaiting();
}

async function dropOld(): Promise<void> {
  for (const name of await caches.keys()) if (name !== CACHE) await caches.delete(name);
  await self.clients.claim();
}

async function orCached(request: Request, path: string): Promise<Response> {
  try {
    return await fetch(request);
  } catch {
    return (await caches.match(path)) ?? Response.error();
  }
}

self.addEventListener('install', (event) => event.waitUntil(keep()));
self.addEventListener('activate', (event) => event.waitUntil(dropOld()));
self.addEventListener('fetch', (event) => {
  const { request } = event;
  const name = new URL(request.url).pathname.slice(1);
  if (request.method !== 'GET' || name.startsWith('api/')) return;
  if (request.mode === 'navigate') event.respondWith(orCached(request, SHELL));
  else if (CACHED_FILES.includes(name)) event.respondWith(orCached(request, name));
});
