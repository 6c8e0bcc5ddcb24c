// SPDX-License-Identifier: Apache-2.0
//
// Keeps the page itself on the device, so that it opens at the bench without a network. Answers of the planner are not
// kept here: the page keeps the last plan itself and says how old it is. The build fills in the names.
const cacheName = 'garthwright-__VERSION__';
const assets = __ASSETS__;

self.addEventListener('install', (event) => {
  event.waitUntil(caches.open(cacheName).then((cache) => cache.addAll(assets)).then(() => self.skipWaiting()));
});

self.addEventListener('activate', (event) => {
  const old = (name) => name.startsWith('garthwright-') && name !== cacheName;
  event.waitUntil(
    caches.keys().then((names) => Promise.all(names.filter(old).map((name) => caches.delete(name)))).then(() => self.clients.claim()),
  );
});

self.addEventListener('fetch', (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== 'GET' || url.origin !== self.location.origin || url.pathname.startsWith('/api/')) return;
  // Network first for the page itself, so that a new release is seen at once; built files never change under their name.
  if (event.request.mode === 'navigate')
    event.respondWith(fetch(event.request).catch(() => caches.match('/')));
  else event.respondWith(caches.match(event.request).then((kept) => kept ?? fetch(event.request)));
});
