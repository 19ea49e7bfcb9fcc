// Keeps the phone's page for times without network. VERSION and SHELL stand before this, written by the server: they
// change with any of the files, so that an old page never meets a new one.

addEventListener("install", (event) => {
  event.waitUntil(caches.open(VERSION).then((cache) => cache.addAll(SHELL)).then(() => skipWaiting()));
});

addEventListener("activate", (event) => {
  const sweep = async () => {
    for (const name of await caches.keys()) if (name !== VERSION) await caches.delete(name);
    await clients.claim();
  };
  event.waitUntil(sweep());
});

addEventListener("fetch", (event) => {
  const { pathname, origin } = new URL(event.request.url);
  if (event.request.method !== "GET" || origin !== location.origin || !SHELL.includes(pathname)) return;
  const kept = caches.open(VERSION).then((cache) => cache.match(pathname));
  event.respondWith(kept.then((found) => found ?? fetch(event.request)));
});
