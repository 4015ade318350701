// Keeps one version of the site for use without a network. The build writes
// the version and the list; each file is taken only if its content is the one
// that was built with the others.
"use strict";

const VERSION = "__VERSION__";
const FILES = [
  ["__PATH__", "__HASH__"],
];
const PREFIX = "isthmus-";
const CACHE = PREFIX + VERSION;

// All files or none: if one is missing or of another version, the version
// before stays.
self.addEventListener("install", (event) => {
  const requests = FILES.map(([path, integrity]) => new Request(path, { cache: "no-cache", integrity }));
  event.waitUntil(caches.open(CACHE).then((cache) => cache.addAll(requests)));
});

self.addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    for (const name of await caches.keys()) {
      if (name.startsWith(PREFIX) && name !== CACHE) await caches.delete(name);
    }
    await self.clients.claim();
  })());
});

// A new version waits until the page says that the person wants it.
self.addEventListener("message", (event) => {
  if (event.data === "activate-now") self.skipWaiting();
});

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== self.location.origin) return;
  if (url.pathname.startsWith("/api/")) return;
  event.respondWith(answer(event.request, url.pathname));
});

// From the own cache by path, whatever the query; an address of the app gets
// the page; the rest goes to the network.
async function answer(request, path) {
  const cache = await caches.open(CACHE);
  const kept = await cache.match(path, { ignoreVary: true });
  if (kept) return kept;
  if (request.mode === "navigate") {
    const page = await cache.match("/", { ignoreVary: true });
    if (page) return page;
  }
  return fetch(request);
}
