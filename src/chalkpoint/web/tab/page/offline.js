"use strict";
/* {{ version }}: after the first visit this folder opens without its server. What Python and the app are made of comes
   from the browser; the page itself from the server while there is one, so that a new version is seen. */
const KEPT = "chalkpoint-{{ version }}";
self.addEventListener("install", (event) => event.waitUntil(caches.open(KEPT).then((kept) => kept.add("./")).then(() => self.skipWaiting())));
self.addEventListener("activate", (event) => event.waitUntil((async () => {
  for (const name of await caches.keys()) if (name.startsWith("chalkpoint-") && name !== KEPT) await caches.delete(name);
  await self.clients.claim();
})()));
self.addEventListener("fetch", (event) => {
  const here = new URL("./", self.location), asked = new URL(event.request.url);
  if (event.request.method !== "GET" || !asked.href.startsWith(here.href)) return;
  if (asked.pathname.startsWith(here.pathname + "parts/")) event.respondWith(kept(event.request));
  else if (event.request.mode === "navigate") event.respondWith(fresh(event.request));
});
async function kept(request) {
  const cache = await caches.open(KEPT), had = await cache.match(request.url);
  if (had) return had;
  const answer = await fetch(request);
  if (answer.ok) await cache.put(request.url, answer.clone());
  return answer;
}
async function fresh(request) {
  const cache = await caches.open(KEPT);
  try {
    const answer = await fetch(request);
    if (answer.ok) await cache.put("./", answer.clone());
    return answer;
  } catch (reason) {
    const had = await cache.match("./");
    if (had) return had;
    throw reason;
  }
}
