"use strict";
/* After the first visit this folder opens without its server. What Python and the app are made of comes from the browser;
   the page itself from the server while there is one, so that a new version is seen. Parts have their digest in their name,
   so two versions share what they have in common; what only an older one had goes when this one takes over. */
const KEPT = "chalkpoint-folders", HERE = new URL("./", self.location).href;
const PARTS = new Set({{ parts }}.map((name) => HERE + name));
self.addEventListener("install", (event) => event.waitUntil(caches.open(KEPT).then((kept) => kept.add("./")).then(() => self.skipWaiting())));
self.addEventListener("activate", (event) => event.waitUntil((async () => {
  const cache = await caches.open(KEPT);
  for (const { url } of await cache.keys()) if (url.startsWith(HERE + "parts/") && !PARTS.has(url)) await cache.delete(url);
  await self.clients.claim();
})()));
self.addEventListener("fetch", (event) => {
  if (event.request.method !== "GET" || !event.request.url.startsWith(HERE)) return;
  if (event.request.url.startsWith(HERE + "parts/")) event.respondWith(kept(event.request));
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
