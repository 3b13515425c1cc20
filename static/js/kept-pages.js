/* Under HTTPS alone: keeps a copy of the bench's pages as they were last seen, for worker.js to open without a
   connection. Of pages that say data-keeps; without what says data-never-kept, without tokens, for one person, for a day. */
(function () {
  "use strict";
  if (!navigator.serviceWorker || !window.caches) return;
  const KEPT = "hiltyard-kept-", ASSETS = "hiltyard-assets", MOST = 60, LONGEST = 86400000; // pages, and ms: a day, as in worker.js
  // As the shop's own answers say (CONTENT_SECURITY_POLICY in shop/settings.py; a test compares them).
  const POLICY = "default-src 'self'; img-src 'self' data: blob:; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'";
  const root = document.documentElement;
  const me = () => document.body.dataset.who || "";
  const names = async () => (await caches.keys()).filter((name) => name.startsWith(KEPT));
  const drop = async (but = "") => {
    for (const name of await names()) if (name !== but) await caches.delete(name);
  };

  const cleaned = () => {
    const page = root.cloneNode(true);
    page.querySelectorAll("[data-never-kept], .waits-mark, .uploads > *, #said > *, #waiting li, .undo").forEach((part) => part.remove());
    page.querySelectorAll("[name=csrfmiddlewaretoken]").forEach((field) => field.setAttribute("value", ""));
    page.querySelectorAll("[hx-headers]").forEach((part) => part.removeAttribute("hx-headers"));
    page.querySelectorAll("[data-rests]").forEach((part) => { part.removeAttribute("aria-disabled"); part.removeAttribute("data-rests"); });
    page.querySelectorAll("[data-sent], [aria-busy]").forEach((part) => { part.removeAttribute("data-sent"); part.removeAttribute("aria-busy"); });
    page.querySelectorAll("input[type=text], input[type=search], textarea").forEach((field) => { if (field.defaultValue !== field.value) field.value = field.defaultValue; });
    page.querySelectorAll("#waiting [data-shown]").forEach((part) => { part.hidden = true; });
    // Pictures of hilts are the customers' own: their words stand for them.
    page.querySelectorAll("img:not([src^='/static/'])").forEach((image) => {
      const word = document.createElement("span"), link = image.closest("a");
      word.className = "no-picture";
      if (!image.closest("figure")) word.textContent = image.alt; // else its words stand below
      (link || image).replaceWith(word);
    });
    page.setAttribute("data-kept-at", String(Date.now()));
    return `<!doctype html>${page.outerHTML}`;
  };
  const assets = async () => {
    const drawn = [...document.querySelectorAll("link[href^='/static/']")].map((link) => link.href).concat([...document.querySelectorAll("script[src]")].map((script) => script.src));
    const loaded = performance.getEntriesByType("resource").map((entry) => entry.name).filter((name) => name.startsWith(`${location.origin}/static/`));
    const cache = await caches.open(ASSETS), now = new Set([...drawn, ...loaded]), all = await cache.keys();
    for (const asset of now) if (!(await cache.match(asset))) await cache.add(asset).catch(() => {});
    if (all.length < 200) return; // some four versions of the shop
    for (const old of all) if (old.url.includes("/static/") && !now.has(old.url)) await cache.delete(old);
  };
  let left = false; // whoever goes takes the copies along: none comes back
  const keep = async () => {
    if (left || !me() || root.dataset.keptAt || !document.body.hasAttribute("data-keeps") || document.querySelector(".wrong, .wrongs")) return;
    const page = cleaned(), headers = {
      "Content-Type": "text/html; charset=utf-8", "Content-Security-Policy": POLICY, "Referrer-Policy": "same-origin",
      "X-Content-Type-Options": "nosniff", "X-Frame-Options": "DENY", "X-Kept-At": String(Date.now()),
    };
    await drop(KEPT + me());
    if (left) return;
    const cache = await caches.open(KEPT + me()), path = location.pathname + location.search;
    await cache.delete(path);
    if (!left) await cache.put(path, new Response(page, { headers }));
    if (left) return void await drop();
    const all = await cache.keys();
    for (const [i, old] of all.entries()) {
      const copy = await cache.match(old), at = copy ? Number(copy.headers.get("X-Kept-At")) : 0; // none: worker.js was first
      if (i < all.length - MOST || Math.abs(Date.now() - at) > LONGEST) await cache.delete(old);
    }
    await assets();
    root.dataset.kept = "yes"; // for whoever waits for it
  };
  let soon = 0;
  const keepSoon = () => {
    delete root.dataset.kept;
    clearTimeout(soon);
    soon = setTimeout(() => keep().catch(() => {}), 300);
  };

  // Where there is no copy: what else is kept.
  const listed = async (list) => {
    for (const name of await names()) {
      const cache = await caches.open(name);
      for (const key of await cache.keys()) {
        const kept = await cache.match(key), title = /<title>([^<]*)<\/title>/.exec(await kept.text());
        const item = document.createElement("li"), link = document.createElement("a");
        link.href = key.url;
        link.textContent = new DOMParser().parseFromString(title ? title[1] : key.url, "text/html").body.textContent.split(" · ")[0];
        item.append(link);
        list.append(item);
      }
    }
    list.hidden = !list.children.length;
  };

  document.addEventListener("DOMContentLoaded", async () => {
    const list = document.querySelector("[data-kept-list]");
    if (list) {
      document.querySelector("[data-still-in]").hidden = !wantsOut();
      return listed(list);
    }
    const strip = document.getElementById("waiting");
    if (!strip) return null;
    if (await goesNow()) return null;
    if (!root.dataset.keptAt) await drop(me() ? KEPT + me() : ""); // nobody's, or another's
    await navigator.serviceWorker.register(strip.dataset.worker, { scope: "/" }).catch(() => {});
    keepSoon();
    return null;
  });
  document.addEventListener("htmx:afterSettle", keepSoon);
  const leave = () => {
    left = true;
    clearTimeout(soon);
    return drop().catch(() => {});
  };
  document.addEventListener("waiting:state", (event) => { if (["out", "other"].includes(event.detail.name)) leave(); });

  // Only the shop can sign somebody out: who wanted to without a connection is remembered here until it does.
  const WANTS = "hiltyard-wants-out";
  const wantsOut = (who) => {
    try {
      if (who === undefined) return localStorage.getItem(WANTS) || "";
      if (who) localStorage.setItem(WANTS, who);
      else localStorage.removeItem(WANTS);
    } catch { /* this browser keeps nothing */ }
    return "";
  };
  const goesNow = async () => {
    if (root.dataset.keptAt) return false;
    const out = document.querySelector("[data-leaves=out]"), wants = Boolean(me() && out) && wantsOut() === me();
    if (!wants) {
      wantsOut("");
      return false;
    }
    await leave();
    out.dataset.left = "yes"; // the page came, so the shop answers
    out.requestSubmit();
    return true;
  };

  // Whoever leaves takes the copies along, with a connection or without. Without one only what may wait is taken.
  const leaves = (form) => form.matches("[data-leaves]");
  const answers = () => fetch(document.getElementById("waiting").dataset.alive, { cache: "no-store", signal: AbortSignal.timeout(6000) }).then((answer) => answer.ok, () => false);
  document.addEventListener("submit", async (event) => {
    const form = event.target;
    if (form.method !== "post") return;
    if (leaves(form) && !form.dataset.left) {
      event.preventDefault();
      event.stopImmediatePropagation();
      form.dataset.left = "yes";
      await leave();
      const out = form.dataset.leaves === "out";
      if (out) wantsOut(me());
      if (root.dataset.keptAt || (out && !(await answers()))) return window.location.reload();
      return form.requestSubmit(event.submitter);
    }
    if (!root.dataset.keptAt || form.matches("[data-waits]")) return null;
    event.preventDefault();
    event.stopImmediatePropagation();
    return window.hiltyard.say(document.getElementById("waiting").dataset.cannot);
  }, true);
})();
