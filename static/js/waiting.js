/* When the shop does not answer, a deed of the bench waits in the browser; sending.js sends it once when it does.
   form[data-waits] may wait: "order" after one another, "alone" by itself. Loaded before hiltyard.js. */
(function () {
  "use strict";
  const { list, LOST, PATIENCE, isStrange, me, words, plain, mine, post, send, behind } = window.hiltyard;
  const OWN = new Set(["csrfmiddlewaretoken", "next"]);

  // A key that no two deeds share (RFC 4122, version 4); randomUUID() is for HTTPS alone.
  const key = () => {
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    bytes[6] = (bytes[6] & 15) | 64;
    bytes[8] = (bytes[8] & 63) | 128;
    const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
    return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
  };
  const TOKEN = /^[0-9a-f]{8}-([0-9a-f]{4}-){3}[0-9a-f]{12}$/i;

  // What a form is about, and what it would do: the same on every page that offers it.
  const about = (form) => {
    const spot = form.closest("[data-about]");
    return spot ? { about: spot.dataset.about, name: spot.dataset.aboutName, page: spot.dataset.aboutPage } : { about: "", name: "", page: location.pathname };
  };
  const mark = (form, submitter) => {
    const hidden = [...form.querySelectorAll("input[type=hidden]")].filter((field) => field.name && !OWN.has(field.name) && !TOKEN.test(field.value));
    const said = hidden.map((field) => `${field.name}=${field.value}`).sort();
    if (submitter && submitter.name) said.push(`${submitter.name}=${submitter.value}`);
    return [new URL(form.action).pathname, ...said].join("|");
  };
  const typed = (form) => [...form.querySelectorAll("input:not([type=hidden], [type=file]), textarea, select")].flatMap((field) => {
    const label = field.labels && field.labels[0] ? plain(field.labels[0]) : field.name;
    if (/^(radio|checkbox)$/.test(field.type)) return field.checked ? [label] : [];
    const value = field.tagName === "SELECT" ? plain(field.selectedOptions[0] || field) : field.value.trim();
    return value ? [`${label}: ${value}`] : [];
  });
  // What a form says; older browsers know no second argument of FormData.
  const said = (form, submitter) => {
    const data = new FormData(form);
    data.delete("csrfmiddlewaretoken"); // a fresh one goes with it
    if (submitter && submitter.name) data.append(submitter.name, submitter.value);
    return [...data];
  };
  const made = (form, submitter) => ({
    key: key(), who: me(), whose: document.body.dataset.whoName, at: Date.now(), state: "waits", why: "",
    url: form.action, kind: form.dataset.waits, mark: mark(form, submitter), ...about(form),
    fields: said(form, submitter),
    what: form.dataset.waitsWhat || (submitter ? plain(submitter) : ""), typed: typed(form),
  });

  // In the list; false where this browser keeps nothing, and the form stays as it is.
  const keep = async (deed) => {
    const kept = await list.add(deed).then(() => true, () => false);
    if (kept && navigator.storage && navigator.storage.persist) navigator.storage.persist().catch(() => {});
    return kept;
  };
  // Tapped twice is meant once: while it is being kept, and, where it waits already, until the page shows it.
  const keeping = new WeakSet();
  const waits = async (deed) => deed.kind === "order" && (await mine().catch(() => [])).some((other) => other.mark === deed.mark && other.state === "waits");
  const wait = async (form, deed) => {
    keeping.add(form);
    const kept = await waits(deed) || await keep(deed);
    keeping.delete(form);
    if (!kept) return window.hiltyard.say(words("full"));
    anew(form);
    send();
  };
  // The form is free for the next thing: a token of its own, or the shop would take the next for this one.
  const anew = (form) => {
    if (form.dataset.waits === "alone") form.reset();
    freshTokens(form);
  };
  const freshTokens = (form) => form.querySelectorAll("input[type=hidden]").forEach((field) => {
    if (TOKEN.test(field.value)) field.value = key();
  });

  // A photo is of the view that was chosen, else of the next one that no photo waits for.
  const keepPhoto = async (form, field, file) => {
    if (!me()) return false;
    const deed = { ...made(form, null), photo: true };
    const taken = new Set((await mine().catch(() => [])).filter((each) => each.photo && each.url === deed.url).map((each) => each.view));
    const slots = [...form.parentElement.querySelectorAll(".slot[data-view]")], view = form.elements.view;
    const named = view && view.value ? slots.find((slot) => slot.dataset.view === view.value) : slots.find((slot) => !taken.has(slot.dataset.view));
    deed.view = (view && view.value) || (named ? named.dataset.view : "");
    deed.fields = [["next", form.elements.next ? form.elements.next.value : ""], ["view", deed.view], [field, file]];
    deed.viewName = named ? plain(named) : "";
    deed.what = named ? `${words("photo")}, ${deed.viewName}` : words("photo");
    if (view) view.value = "";
    const kept = await keep(deed);
    if (kept) send();
    return kept;
  };

  const release = (form) => {
    delete form.dataset.sent;
    form.querySelectorAll("[aria-busy]").forEach((button) => button.removeAttribute("aria-busy"));
  };
  const deeds = new WeakMap(), requests = new WeakMap(); // by form, then by what htmx sends
  document.addEventListener("submit", (event) => {
    const form = event.target, submitter = event.submitter;
    if (!form.matches("form[data-waits]:not([data-photos])") || !me() || form.dataset.sent) return;
    if (form.dataset.whole) return void delete form.dataset.whole;
    if (keeping.has(form) || (submitter && submitter.getAttribute("aria-disabled") === "true" && form.querySelector(".waits-mark"))) {
      event.preventDefault(); // it waits already
      return event.stopImmediatePropagation();
    }
    const deed = made(form, submitter);
    deeds.set(form, deed);
    const late = behind();
    if (form.hasAttribute("hx-post") && !late) return; // htmx sends it: see below
    event.preventDefault();
    event.stopImmediatePropagation();
    if (late) wait(form, deed);
    else now(form, submitter, deed);
  }, true);

  // A plain form goes by the script, which alone learns that nobody answered.
  const now = async (form, submitter, deed) => {
    form.dataset.sent = "yes";
    if (submitter) submitter.setAttribute("aria-busy", "true");
    const answer = await post(deed, form.querySelector("[name=csrfmiddlewaretoken]").value, { "X-Deed-Asks": "where" });
    if (answer.to) return go(answer.to);
    if (LOST.has(answer.status) || answer.status < 300) { // a page: the session has ended, and what was typed waits for the sign-in
      await wait(form, deed);
      return release(form);
    }
    release(form);
    form.dataset.whole = "yes"; // nothing was done: as without the script, so that what is wrong is shown in its place
    form.requestSubmit(submitter);
  };
  const go = (to) => {
    const there = new URL(to, location.href);
    const same = there.pathname === location.pathname && there.search === location.search && there.hash;
    window.location.assign(there);
    if (same) window.location.reload();
  };
  document.addEventListener("htmx:configRequest", (event) => {
    const deed = event.detail.elt.matches("form[data-waits]") && deeds.get(event.detail.elt);
    if (!deed) return;
    requests.set(event.detail, deed);
    event.detail.headers["X-Deed"] = deed.key;
    event.detail.timeout = PATIENCE;
  });
  const lost = (event) => {
    const form = event.detail.elt, deed = requests.get(event.detail.requestConfig);
    if (!deed) return;
    if (event.type === "htmx:responseError" && !LOST.has(event.detail.xhr.status)) return;
    event.stopImmediatePropagation();
    wait(form, deed);
  };
  ["htmx:sendError", "htmx:timeout", "htmx:responseError"].forEach((name) => document.addEventListener(name, lost));
  document.addEventListener("htmx:beforeOnLoad", (event) => {
    const { elt: form, requestConfig, xhr } = event.detail, deed = requests.get(requestConfig);
    const header = (name) => xhr.getResponseHeader(name);
    if (!deed || !(isStrange(xhr.status, header) || header("HX-Redirect"))) return; // the latter: the session has ended
    event.preventDefault();
    wait(form, deed);
  });

  // The tokens of a copy that was opened without a connection may be used by now.
  document.addEventListener("DOMContentLoaded", () => {
    if (document.documentElement.dataset.keptAt) document.querySelectorAll("form[data-waits]").forEach(freshTokens);
  });
  Object.assign(window.hiltyard, { keepPhoto, mark });
})();
