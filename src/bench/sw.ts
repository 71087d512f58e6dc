/// <reference lib="webworker" />
/**
 * Keeps the whole bench on the machine, so that it opens without a network. Every file of one build goes into one cache
 * under the build's own name; an older build's cache goes when the new one is complete and no page uses the old any more.
 */
declare const self: ServiceWorkerGlobalScope;

// Both are written in when the bench is built.
const files = JSON.parse('__FILES__') as readonly string[];
const cacheName = 'coverwright-__VERSION__';

self.addEventListener('install', (event) => {
  event.waitUntil(caches.open(cacheName).then((cache) => cache.addAll(files.map((name) => new Request(name, { cache: 'reload' })))));
});

self.addEventListener('activate', (event) => {
  event.waitUntil(
    caches
      .keys()
      .then((names) => Promise.all(names.filter((name) => name.startsWith('coverwright-') && name !== cacheName).map((name) => caches.delete(name))))
      .then(() => self.clients.claim()),
  );
});

self.addEventListener('fetch', (event) => {
  const { request } = event;
  if (request.method !== 'GET' || new URL(request.url).origin !== self.location.origin) return;
  event.respondWith(caches.open(cacheName).then((cache) => cache.match(request, { ignoreSearch: true })).then((found) => found ?? fetch(request)));
});
