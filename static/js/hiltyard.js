/* A key for search, no double submit, Enter of a caliper; every page works without. Words come from the page. */
(function () {
  "use strict";
  document.documentElement.classList.add("scripted"); // what the script does by itself needs no button
  const words = (name) => document.body.dataset[name] || "";
  const typing = (spot) => spot.isContentEditable || /^(INPUT|TEXTAREA|SELECT)$/.test(spot.tagName);

  document.addEventListener("keydown", (event) => {
    const find = document.getElementById("find");
    if (event.key !== "/" || !find || event.ctrlKey || event.metaKey || event.altKey) return;
    if (typing(event.target)) return;
    event.preventDefault();
    find.focus();
    find.select();
  });

  // A deed is sent once: a second tap meanwhile does nothing. Released when the answer is in.
  const release = (form) => {
    delete form.dataset.sent;
    form.querySelectorAll("[aria-busy]").forEach((button) => button.removeAttribute("aria-busy"));
  };
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (form.method !== "post" || form.matches("[data-photos]")) return;
    if (form.dataset.sent) {
      event.preventDefault();
      event.stopPropagation();
      return;
    }
    form.dataset.sent = "yes";
    if (event.submitter) event.submitter.setAttribute("aria-busy", "true");
    setTimeout(release, 10000, form);
  }, true);
  window.addEventListener("pageshow", () => document.querySelectorAll("form[data-sent]").forEach(release));
  document.addEventListener("htmx:afterRequest", (event) => {
    const form = event.target.closest("form");
    if (form) release(form);
  });

  // What went wrong is said where deeds are answered, and nothing typed is lost.
  const say = (sentence) => {
    const said = document.getElementById("said");
    if (!said) return;
    const line = document.createElement("p");
    line.className = "error";
    line.textContent = sentence;
    said.replaceChildren(line);
    said.scrollIntoView({ block: "nearest" });
  };
  window.hiltyard = Object.assign(window.hiltyard || {}, { say });
  document.addEventListener("htmx:sendError", () => say(words("lost")));
  document.addEventListener("htmx:responseError", ({ detail: { xhr } }) => {
    const plain = (xhr.getResponseHeader("Content-Type") || "").startsWith("text/plain");
    say(xhr.status > 500 && plain ? xhr.responseText : words("refused"));
  });

  // A whole page never lands inside a part: after the session ended, or a form came back whole.
  document.addEventListener("htmx:beforeSwap", (event) => {
    const { xhr, elt } = event.detail;
    if (!/^\s*<!doctype/i.test(xhr.responseText) || elt.closest("[hx-select], [hx-boost=true]")) return;
    if (xhr.status < 300) {
      event.detail.shouldSwap = false;
      window.location.assign(xhr.responseURL);
    } else if (xhr.status === 422) {
      event.detail.target = document.body;
      event.detail.swapOverride = "innerHTML";
    }
  });

  // Who works by keyboard stays where the deed was, though its button is gone.
  let stood = "";
  document.addEventListener("htmx:beforeSwap", (event) => {
    const { target } = event.detail;
    stood = target && target.contains(document.activeElement) ? target.id : "";
  });
  document.addEventListener("htmx:afterSettle", () => {
    const spot = stood && document.activeElement === document.body && document.getElementById(stood);
    stood = "";
    if (!spot) return;
    spot.tabIndex = -1;
    spot.focus({ preventScroll: true });
  });

  // What is being typed elsewhere in a part outlives its swap, and so does the place in it.
  const typed = new Map();
  let at = "";
  document.addEventListener("htmx:beforeSwap", (event) => {
    const { target, elt } = event.detail;
    typed.clear();
    at = "";
    if (!target || !target.querySelectorAll) return;
    for (const field of target.querySelectorAll("input[type=text][id], textarea[id]")) {
      if (field.value === field.defaultValue || (field.form && field.form.contains(elt))) continue;
      typed.set(field.id, field.value);
      if (field === document.activeElement) at = field.id;
    }
  });
  document.addEventListener("htmx:afterSwap", () => {
    for (const [id, value] of typed) {
      const field = document.getElementById(id);
      if (!field || field.value !== field.defaultValue) continue;
      field.value = value;
      if (id === at) field.focus();
      if (id === at) field.setSelectionRange(value.length, value.length);
    }
    typed.clear();
  });

  // A caliper that types ends each value with Enter: it leads to the next field, the last one keeps.
  document.addEventListener("keydown", (event) => {
    const form = event.target.closest("form[data-caliper]");
    if (event.key !== "Enter" || !form || !event.target.matches("input[type=text]")) return;
    const fields = [...form.querySelectorAll("input[type=text]")];
    const next = fields[fields.indexOf(event.target) + 1];
    if (!next) return;
    event.preventDefault();
    next.focus();
    next.select();
  });
  // When a section is kept, the next one stands ready.
  document.addEventListener("htmx:afterSettle", (event) => {
    if (!event.target.matches(".section") || event.target.querySelector(".wrong, .wrongs")) return;
    const next = event.target.nextElementSibling;
    const fold = next && next.querySelector(".caliper-fold");
    if (!fold) return;
    fold.open = true;
    fold.querySelector("input[type=text]").focus();
  });

  // A picture that is still being made is asked for again until it is there.
  const making = async () => {
    for (const image of document.querySelectorAll("img[data-making]")) {
      const answer = await fetch(image.dataset.making, { cache: "no-store" }).catch(() => null);
      const type = (answer && answer.headers.get("Content-Type")) || "";
      if (!answer || type.startsWith("image/svg")) continue;
      image.src = image.dataset.making;
      image.removeAttribute("data-making");
    }
    setTimeout(making, 2500);
  };
  making();
})();
