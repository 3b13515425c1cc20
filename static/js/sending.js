/* Sends what waits (waiting-list.js), in its order and once, when the shop answers again; then the page reads itself anew. */
(function () {
  "use strict";
  const { list } = window.hiltyard;
  const LOST = new Set([0, 502, 503, 504, 511]); // no connection, a proxy that has none, a Wi-Fi that wants its own sign-in
  const PATIENCE = 9500; // ms for an answer, before hiltyard.js lets tap again
  const STALLED = 30000; // ms without a byte of a photo or an answer, as in photos.js
  const RESTS = [2000, 4000, 8000, 15000];
  const LONGEST = 30 * 86400000; // ms; the shop knows for sixty days what it has done
  const kept = Boolean(document.documentElement.dataset.keptAt); // a copy, opened without a connection
  const me = () => Number(document.body.dataset.who) || 0;
  const words = (name) => document.getElementById("waiting").dataset[name] || "";
  const plain = (node) => node.textContent.replace(/\s+/g, " ").trim();

  // A page that something on the way puts in place of the shop's, as a sign-in of the Wi-Fi: nobody of the shop answered.
  const isStrange = (status, header) => status < 400 && !header("X-Request-ID");

  // What came of a request: status, and to, said, why where the shop said so.
  const heard = (status, header, text) => {
    if (isStrange(status, header)) return { status: 0 };
    const facts = /json/.test(header("Content-Type") || "") ? JSON.parse(text) : { page: text };
    return { ...facts, status };
  };
  const ask = async (url, options, patience = PATIENCE) => {
    const end = new AbortController(), timer = setTimeout(() => end.abort(), patience);
    try {
      const response = await fetch(url, { cache: "no-store", ...options, signal: end.signal });
      return heard(response.status, (name) => response.headers.get(name), await response.text());
    } catch {
      return { status: 0 };
    } finally {
      clearTimeout(timer);
    }
  };
  // A photo may take long on a slow line: nobody is there only where no byte of it moves any more.
  const carry = (url, body, headers) => new Promise((resolve) => {
    const xhr = new XMLHttpRequest();
    let stalled = 0;
    const goes = () => {
      clearTimeout(stalled);
      stalled = setTimeout(() => xhr.abort(), STALLED);
    };
    xhr.open("POST", url);
    Object.entries(headers).forEach(([name, value]) => xhr.setRequestHeader(name, value));
    xhr.upload.onprogress = xhr.onprogress = goes;
    xhr.onloadend = () => {
      clearTimeout(stalled);
      try {
        resolve(heard(xhr.status, (name) => xhr.getResponseHeader(name), xhr.responseText));
      } catch {
        resolve({ status: 0 });
      }
    };
    goes();
    xhr.send(body);
  });
  const post = (deed, csrf, more) => {
    const body = new FormData();
    deed.fields.forEach(([name, value]) => (value instanceof Blob ? body.append(name, value, value.name) : body.append(name, value)));
    const own = deed.photo ? { "X-Photo": "one" } : { "X-Deed": deed.key };
    const age = Math.max(0, Math.round((Date.now() - deed.at) / 1000));
    const headers = { "X-CSRFToken": csrf, "X-Deed-By": String(deed.who), "X-Deed-Age": String(age), ...own, ...more };
    return deed.photo ? carry(deed.url, body, headers) : ask(deed.url, { method: "POST", body, headers });
  };

  // Why something was not done, in the shop's own words where it has some.
  const why = (answer) => {
    if (answer.why) return answer.why;
    if (answer.status === 404) return words("gone");
    if (answer.status >= 500) return words("broke");
    const page = new DOMParser().parseFromString(answer.page || "", "text/html");
    const said = [...page.querySelectorAll(".wrongs > p, .wrongs li, .wrong, #said .error")].map(plain);
    return [...new Set(said)].join(" ") || words("not");
  };

  // Sends what waits, in its order. Ends when all is through, or the shop does not answer, or nobody is signed in.
  const state = { name: "", sent: 0, at: 0, of: 0 };
  const show = (facts) => {
    Object.assign(state, facts);
    document.dispatchEvent(new CustomEvent("waiting:state", { detail: state }));
  };
  const alive = async () => (await ask(words("alive"), {}, 6000)).status === 200;
  const mine = async () => (await list.all()).filter((deed) => deed.who === me());

  const stop = async (deed, facts) => {
    await list.change(deed.id, facts);
    if (deed.kind !== "order") return;
    // What comes after it about the same thing was meant for how things would stand then.
    for (const later of await mine()) {
      if (later.id > deed.id && later.about === deed.about && later.kind === "order" && later.state === "waits") await list.change(later.id, { state: "stopped", why: words("after") });
    }
  };
  const one = async (deed, door) => {
    if (Date.now() - deed.at > LONGEST) return stop(deed, { state: "refused", why: words("old") });
    let answer = await post(deed, door.csrf, { "X-Deed-Asks": "words" });
    if (answer.status === 403) { // another session meanwhile: its own token, once
      Object.assign(door, await who());
      if (door.who === deed.who) answer = await post(deed, door.csrf, { "X-Deed-Asks": "words" });
    }
    if (LOST.has(answer.status)) return "lost";
    if (answer.whose || (door.who && door.who !== deed.who)) return "other";
    if (answer.status === 401 || !door.who) return "out";
    if (answer.status >= 200 && answer.status < 300) {
      if (answer.ok !== true && answer.to === undefined) return "out"; // a page, as of the sign-in: it was not taken
      await list.drop(deed.id);
      return "sent";
    }
    return stop(deed, { state: answer.status >= 500 ? "failed" : "refused", why: why(answer) });
  };
  const who = async () => ({ who: undefined, ...(await ask(words("door"), {})) });

  const through = async (still) => {
    if (!(await mine()).some((deed) => deed.state === "waits")) return "";
    if (!(await alive())) return "lost";
    const door = await who();
    if (door.who === undefined) return "lost";
    if (door.who !== me()) return door.who ? "other" : "out";
    let at = 0;
    for (;;) { // read anew each time: another tab may add, or throw away
      const waits = (await mine()).filter((deed) => deed.state === "waits");
      if (!waits.length) return "";
      at += 1;
      show({ name: "sends", at, of: at + waits.length - 1 });
      if (!(await still())) return "";
      const came = await one(waits[0], door);
      if (["lost", "out", "other"].includes(came)) return came;
      answered += 1;
      if (came === "sent") state.sent += 1;
    }
  };

  let answered = 0; // sent, or refused: both say that the page is no longer true
  let pending = 0, tries = 0, timer = 0, busy = false, again = false;
  const send = async () => {
    if (!me()) return;
    if (busy) {
      again = true;
      return;
    }
    busy = true;
    clearTimeout(timer);
    timer = 0;
    const before = answered;
    const came = await list.inTurn(through).catch(() => "lost");
    busy = false;
    if (came === null && pending) timer = setTimeout(send, RESTS[0]); // another tab is at it
    show({ name: came || "" });
    if (came === "lost") {
      timer = setTimeout(send, RESTS[Math.min(tries, RESTS.length - 1)]);
      tries += 1;
    } else {
      tries = 0;
    }
    if (answered > before || (kept && came !== "lost")) fresh();
    if (!again) return;
    again = false;
    if (came !== "lost") send();
  };

  // The page reads itself anew, unless somebody is in the middle of something there.
  const writing = () => [...document.querySelectorAll("main input:not([type=hidden]), main textarea")].some((field) => (
    field === document.activeElement || (/^(text|number|search)$|^$/.test(field.type) || field.tagName === "TEXTAREA" ? field.value !== field.defaultValue : false)));
  const fresh = async () => {
    if (writing()) return show({ stale: true });
    if (kept) return window.location.reload();
    const old = document.getElementById("main");
    const { page, status } = await ask(location.href, { redirect: "error" });
    const made = status === 200 && page && new DOMParser().parseFromString(page, "text/html").getElementById("main");
    if (!old || !made) return show({ stale: true });
    const folds = [...old.querySelectorAll("details")].map((fold) => fold.open);
    const spot = old.contains(document.activeElement) && document.activeElement.closest("[id]");
    old.replaceWith(made);
    const now = [...made.querySelectorAll("details")];
    if (now.length === folds.length) now.forEach((fold, i) => { fold.open = folds[i]; });
    const there = spot && document.getElementById(spot.id);
    if (there) {
      there.tabIndex = -1;
      there.focus({ preventScroll: true });
    }
    show({ stale: false });
    if (!window.htmx) return;
    window.htmx.process(made);
    window.htmx.trigger(made, "htmx:afterSettle");
  };

  // A copy gives way to the page itself as soon as the shop answers.
  const back = async () => {
    if (await alive()) return pending ? send() : fresh();
    timer = setTimeout(back, RESTS[Math.min(tries, RESTS.length - 1)]);
    tries += 1;
    return null;
  };

  const count = async () => {
    const now = await mine().catch(() => []), before = pending;
    pending = now.filter((deed) => deed.state === "waits").length;
    if (before && !pending && !busy) fresh(); // another tab has sent the last of them
  };
  list.watch(count);
  document.addEventListener("DOMContentLoaded", async () => {
    await count();
    if (pending) send();
    else if (kept) back();
  });
  window.addEventListener("online", () => {
    tries = 0;
    if (kept && !pending) back();
    else send();
  });
  window.addEventListener("pageshow", (event) => { if (event.persisted) send(); });
  document.addEventListener("visibilitychange", () => { if (!document.hidden && pending) sendNow(); });
  list.watch(() => { if (!busy && !timer && pending) send(); });

  const tryAgain = async (deed) => {
    await list.change(deed.id, { state: "waits", why: "" });
    send();
  };
  const sendNow = () => {
    tries = 0;
    send();
  };
  const behind = () => pending > 0 || kept || navigator.onLine === false;
  Object.assign(window.hiltyard, { LOST, PATIENCE, LONGEST, isStrange, me, words, plain, mine, post, send, sendNow, tryAgain, state, behind });
})();
