/* Under HTTPS alone: opens pages of the bench without a connection, from the copies that kept-pages.js made.
   The network comes first, always; nothing is stored here but what every page is drawn with. */
"use strict";
const KEPT = "hiltyard-kept-", ASSETS = "hiltyard-assets", AWAY = "/no-connection/";
const PATIENCE = 8000; // ms for a page of which there is a copy
const LONGEST = 86400000; // ms that a copy may be shown: a day
const LOST = [502, 503, 504]; // a proxy that has no shop behind it

self.addEventListener("install", (event) => event.waitUntil((async () => {
  const answer = await fetch(AWAY, { cache: "no-store" });
  const assets = [...(await answer.clone().text()).matchAll(/(?:href|src)="(\/static\/[^"]+)"/g)].map((found) => found[1]);
  const cache = await caches.open(ASSETS);
  await cache.put(AWAY, answer);
  await Promise.all([...new Set(assets)].map((asset) => cache.add(asset).catch(() => {})));
  await self.skipWaiting();
})()));
// Also what seems to be from tomorrow: the clock was set back since.
const isOld = (kept) => !(Math.abs(Date.now() - Number(kept.headers.get("X-Kept-At"))) < LONGEST);
const dropOld = async () => {
  for (const name of await caches.keys()) {
    if (!name.startsWith(KEPT)) continue;
    const cache = await caches.open(name);
    for (const key of await cache.keys()) {
      const kept = await cache.match(key);
      if (kept && isOld(kept)) await cache.delete(key);
    }
  }
};
self.addEventListener("activate", (event) => event.waitUntil(Promise.all([self.clients.claim(), dropOld()])));

const copy = async (url) => {
  for (const name of await caches.keys()) {
    if (!name.startsWith(KEPT)) continue;
    const cache = await caches.open(name);
    for (const key of [url.pathname + url.search, url.pathname]) {
      const kept = await cache.match(key);
      if (kept && !isOld(kept)) return kept;
      if (kept) await cache.delete(key);
    }
  }
  return null;
};
const page = async (request, cleared) => {
  const asked = fetch(request), late = new Promise((resolve) => { setTimeout(resolve, PATIENCE, null); });
  asked.catch(() => {});
  const answer = await Promise.race([asked, late]).catch(() => undefined);
  if (answer && !LOST.includes(answer.status)) return answer;
  await cleared;
  const kept = await copy(new URL(request.url));
  if (kept) return kept;
  if (answer === undefined) return await (await caches.open(ASSETS)).match(AWAY) || Response.error();
  return answer || asked;
};
const asset = async (request) => {
  const cache = await caches.open(ASSETS);
  return await cache.match(request) || fetch(request); // its name changes with what is in it
};
self.addEventListener("fetch", (event) => {
  const { request } = event, url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== self.location.origin) return;
  if (request.mode === "navigate") {
    const cleared = dropOld().catch(() => {}); // while the shop is asked
    event.waitUntil(cleared);
    event.respondWith(page(request, cleared));
  } else if (url.pathname.startsWith("/static/")) event.respondWith(asset(request));
});
