/* Shows what waits to be sent (waiting-list.js): a strip at the head of the page, and a mark where it was tapped. */
(function () {
  "use strict";
  const { list } = window.hiltyard;
  const strip = () => document.getElementById("waiting");
  const me = () => Number(document.body.dataset.who) || 0;
  const words = (name, facts = {}) => Object.entries(facts).reduce((said, [of, value]) => said.replaceAll(`{${of}}`, value), strip().dataset[name] || "");
  const count = (name, n, facts = {}) => words(n === 1 ? `${name}One` : name, { n, ...facts });
  const clock = (ms) => {
    const at = new Date(ms), tongue = document.documentElement.lang || undefined;
    const time = at.toLocaleTimeString(tongue, { hour: "2-digit", minute: "2-digit" });
    return at.toDateString() === new Date().toDateString() ? time : `${at.toLocaleDateString(tongue, { weekday: "short", day: "numeric", month: "short" })} ${time}`;
  };
  const part = (tag, name, text) => {
    const made = document.createElement(tag);
    if (name) made.className = name;
    if (text) made.textContent = text;
    return made;
  };
  const button = (text, deed, looks = "") => {
    const made = part("button", `button ${looks}`.trim(), text);
    made.type = "button";
    made.onclick = deed;
    return made;
  };

  // Pictures of photos that wait, one address each for as long as the page stands.
  const pictures = new Map();
  const picture = (deed) => {
    if (!pictures.has(deed.id)) {
      const file = deed.fields.map(([, value]) => value).find((value) => value instanceof Blob);
      pictures.set(deed.id, file ? URL.createObjectURL(file) : "");
    }
    const image = part("img");
    image.alt = deed.what;
    image.onerror = () => image.classList.add("blank");
    image.src = pictures.get(deed.id);
    return image;
  };

  const NOT_DONE = new Set(["refused", "failed", "stopped"]);
  const isOld = (deed) => Date.now() - deed.at > window.hiltyard.LONGEST; // it is not sent any more, whoever comes
  const word = (deed) => {
    if (deed.who !== me() && isOld(deed)) return [`${words("undone")} ${words("old")}`, "stop"];
    if (deed.who !== me()) return [words("others", { who: deed.whose }), "brass"];
    if (!NOT_DONE.has(deed.state)) return [words("waits"), "brass"];
    return [`${words("undone")} ${deed.why}`, "stop"];
  };
  const row = (deed) => {
    const made = part("li", deed.photo ? "with-photo" : ""), told = part("div", "stack tight");
    if (deed.photo) made.append(picture(deed));
    const head = part("p");
    head.append(part("strong", "", deed.name ? `${deed.name}: ${deed.what}` : deed.what), " ", part("span", "quiet", words("since", { time: clock(deed.at) })));
    const [said, tone] = word(deed);
    told.append(head, part("p", tone, said));
    if (deed.typed.length && NOT_DONE.has(deed.state)) told.append(part("p", "sub", `${words("typed")} ${deed.typed.join(" · ")}`));
    made.append(told, deeds(deed));
    return made;
  };
  const deeds = (deed) => {
    const made = part("div", "line");
    if (NOT_DONE.has(deed.state) && deed.who === me()) {
      if (deed.page) {
        const link = part("a", deed.state === "refused" ? "button go" : "button", words(deed.about.startsWith("build") ? "open" : "openIt"));
        link.href = deed.page;
        made.append(link);
      }
      if (deed.state !== "refused") made.append(button(words(deed.state === "stopped" ? "allTheSame" : "again"), () => window.hiltyard.tryAgain(deed)));
    }
    if (deed.who !== me() && !isOld(deed)) return made; // whose it is decides
    const away = button(words("away"), () => {
      const sure = part("div", "line sure"), leave = button(words("keep"), () => draw());
      const yes = button(words("awayYes"), () => { strip().querySelector("[data-fold]").focus(); list.drop(deed.id); }, "ends");
      sure.append(part("span", "", words("sure")), yes, leave);
      made.replaceChildren(sure);
      yes.focus();
    }, "quiet");
    made.append(away);
    return made;
  };

  const head = (mine, waits, undone, theirs) => {
    const { name, at, of, sent } = window.hiltyard.state, said = [], since = document.documentElement.dataset.keptAt;
    if (since) said.push(words("headKept", { time: clock(Number(since)) }));
    if (undone.length) said.push(count("headUndone", undone.length));
    if (waits.length && name === "sends") said.push(words("headSends", { at, of }));
    else if (waits.length && since && name !== "out" && name !== "other") said.push(count("headWaits", waits.length));
    else if (waits.length) said.push(`${count("headWaits", waits.length)}${words("dash")}${words(name === "out" ? "headOut" : name === "other" ? "headOther" : name === "lost" || !navigator.onLine ? "headLost" : "headSoon")}`);
    if (theirs.length) said.push(words("headOthers", { n: theirs.length, who: [...new Set(theirs.map((deed) => deed.whose))].join(", ") }));
    if (!waits.length && sent) said.push(count("headSent", sent));
    return said.join(". ");
  };

  let told = "", unfolded = false;
  const draw = async () => {
    const box = strip(), all = await list.all().catch(() => []);
    if (!box) return;
    const mine = all.filter((deed) => deed.who === me()), theirs = me() ? all.filter((deed) => deed.who !== me()) : [];
    const undone = mine.filter((deed) => NOT_DONE.has(deed.state)), waits = mine.filter((deed) => deed.state === "waits");
    const signedOut = !me() && all.length, state = window.hiltyard.state;
    const words_ = signedOut ? `${count("headWaits", all.length)}${words("dash")}${words("headOut")}` : head(mine, waits, undone, theirs);
    const shown = box.querySelector("[data-shown]");
    shown.hidden = !words_;
    box.classList.toggle("undone", undone.length > 0);
    box.classList.toggle("sent", Boolean(me()) && !waits.length && !undone.length && !theirs.length && !document.documentElement.dataset.keptAt);
    box.querySelector("[data-head]").textContent = words_;
    if (words_ !== told) box.querySelector("[role=status]").textContent = told = words_;
    const fold = box.querySelector("[data-fold]"), rows = box.querySelector("ul");
    const some = Boolean(me() && all.length);
    fold.hidden = !some;
    fold.setAttribute("aria-expanded", String(some && unfolded));
    fold.textContent = words(unfolded ? "hide" : "show");
    rows.hidden = !(some && unfolded);
    // Whoever is being asked for sure is not interrupted by a redraw.
    if (!rows.hidden && !rows.querySelector(".sure button:focus")) rows.replaceChildren(...[...undone, ...waits, ...theirs].map(row));
    if (rows.hidden) rows.replaceChildren();
    box.querySelector("[data-send]").hidden = !waits.length || ["sends", "out", "other"].includes(state.name);
    box.querySelector("[data-enter]").hidden = !(waits.length && state.name === "out");
    const asks = !box.querySelector("[data-send]").hidden; // which loads a copy anew as well
    box.querySelector("[data-anew]").hidden = !state.stale && state.name !== "other" && (asks || !document.documentElement.dataset.keptAt);
    box.querySelector("[data-close]").hidden = all.length > 0 || !words_ || Boolean(document.documentElement.dataset.keptAt);
    mark(mine);
  };

  // Where it was tapped: the button rests, and a word beside it says why.
  const mark = (mine) => {
    document.querySelectorAll(".waits-mark").forEach((old) => old.remove());
    document.querySelectorAll("[data-rests]").forEach((rests) => { rests.removeAttribute("aria-disabled"); delete rests.dataset.rests; });
    document.querySelectorAll(".slot[data-view][hidden]").forEach((slot) => { slot.hidden = false; });
    for (const form of document.querySelectorAll("form[data-waits]")) {
      const path = new URL(form.action).pathname, here = mine.filter((deed) => new URL(deed.url).pathname === path);
      if (here.length) (form.matches("[data-photos]") ? markPhotos : markForm)(form, here);
      if (form.matches("[data-photos]")) nextView(form, here.length);
    }
  };
  const note = (deeds_) => {
    const undone = deeds_.some((deed) => NOT_DONE.has(deed.state));
    const said = undone ? words("undone") : count("waitMany", deeds_.length);
    return part("p", `waits-mark ${undone ? "stop" : "brass"}`, said);
  };
  const markForm = (form, here) => {
    const buttons = [...form.querySelectorAll("button:not([type=button])")];
    const alone = form.dataset.waits === "alone";
    const its = here.filter((deed) => buttons.some((each) => window.hiltyard.mark(form, each) === deed.mark) || alone);
    if (!its.length) return;
    form.append(note(its));
    if (alone) return;
    buttons.forEach((each) => {
      if (!its.some((deed) => deed.state === "waits" && deed.mark === window.hiltyard.mark(form, each))) return;
      each.setAttribute("aria-disabled", "true");
      each.dataset.rests = "";
    });
  };
  const markPhotos = (form, here) => {
    let grid = form.parentElement.querySelector(".photos:not(details .photos)");
    if (!grid) form.before(grid = part("div", "photos bench waits-mark"));
    const head = form.querySelector("p");
    if (head) head.append(part("span", "waits-mark brass", ` ${count("waitMany", here.length)}`));
    for (const deed of here.filter((each) => each.photo)) {
      const made = part("figure", "photo waits waits-mark"), said = part("figcaption", "", "");
      if (deed.viewName) said.append(part("span", "", deed.viewName), " ");
      said.append(part("span", NOT_DONE.has(deed.state) ? "stop" : "brass", NOT_DONE.has(deed.state) ? words("undone") : words("waits")));
      made.append(picture(deed), said);
      const slot = deed.view && grid.querySelector(`.slot[data-view="${deed.view}"]:not([hidden])`);
      if (slot) slot.hidden = true;
      const first = grid.querySelector(".slot");
      if (first) first.before(made);
      else grid.append(made);
    }
  };
  // While photos wait, the camera asks for the next view that none of them is of.
  const nextView = (form, some) => {
    const take = form.querySelector(".take[data-take]");
    if (!take) return;
    take.dataset.was = take.dataset.was || take.textContent;
    const slot = form.parentElement.querySelector(".slot[data-view]:not([hidden])");
    take.textContent = !some ? take.dataset.was : slot ? take.dataset.take.replace("{view}", slot.textContent.trim()) : take.dataset.add;
  };

  document.addEventListener("DOMContentLoaded", () => {
    const box = strip();
    box.querySelector("[data-fold]").onclick = () => { unfolded = !unfolded; draw(); };
    box.querySelector("[data-send]").onclick = () => window.hiltyard.sendNow();
    box.querySelector("[data-anew]").onclick = () => window.location.reload();
    box.querySelector("[data-close]").onclick = () => { window.hiltyard.state.sent = 0; draw(); };
    draw();
  });
  list.watch(draw);
  document.addEventListener("waiting:state", draw);
  document.addEventListener("htmx:afterSettle", draw);
  window.addEventListener("online", draw);
  window.addEventListener("offline", draw);
})();
