/* Sends a large file in pieces. What the shop has said to be on its disk is never sent again: after a lost
   connection it goes on by itself, after a closed page with the same file chosen once more. Without it the
   form sends the file whole. Words come from the form. */
(function () {
  "use strict";
  const PIECE = 4 * 1024 * 1024;
  const WAITS = [1000, 2000, 4000, 8000, 15000];
  const SIGNED_OUT = "signed out", LOST = "lost";

  const csrf = (form) => form.querySelector("[name=csrfmiddlewaretoken]").value;

  // One request; resolves to its status and what it said, LOST or SIGNED_OUT.
  const ask = (method, url, { body = null, headers = {}, moved = null, hold = null } = {}) => new Promise((resolve) => {
    const xhr = new XMLHttpRequest();
    xhr.open(method, url);
    Object.entries(headers).forEach(([name, value]) => xhr.setRequestHeader(name, value));
    xhr.setRequestHeader("X-Pieces", "1");
    if (moved) xhr.upload.onprogress = moved;
    xhr.onloadend = () => {
      if (!xhr.status) return resolve({ status: LOST });
      try {
        resolve({ status: xhr.status, ...JSON.parse(xhr.responseText) });
      } catch {
        resolve({ status: /sign-in/.test(xhr.responseURL) ? SIGNED_OUT : xhr.status >= 500 ? LOST : xhr.status });
      }
    };
    if (hold) hold.xhr = xhr;
    xhr.send(body);
  });

  // Sleeps, but wakes as soon as the browser says that it is online again.
  const rest = (ms) => new Promise((resolve) => {
    const over = () => { clearTimeout(timer); window.removeEventListener("online", over); resolve(); };
    const timer = setTimeout(over, ms);
    window.addEventListener("online", over);
  });

  // FNV-1a over both ends of the file: tells two films of one name and size apart.
  const mark = async (file) => {
    let hash = 0x811c9dc5;
    for (const part of [file.slice(0, 65536), file.slice(Math.max(0, file.size - 65536))]) {
      for (const byte of new Uint8Array(await part.arrayBuffer())) hash = Math.imul(hash ^ byte, 0x01000193) >>> 0;
    }
    return `${hash.toString(16)}-${file.lastModified.toString(36)}`;
  };

  const shown = (form) => {
    const box = form.querySelector("[data-progress]");
    const bar = box.querySelector("progress"), said = box.querySelector("[data-said]");
    box.hidden = false;
    return {
      at(bytes, of) {
        bar.max = of;
        bar.value = bytes;
        const mb = (n) => (n / 1e6).toFixed(n < 1e7 ? 1 : 0);
        said.textContent = `${mb(bytes)} / ${mb(of)} MB ${form.dataset.soFar}`;
      },
      say(words) { said.textContent = words; },
    };
  };

  const pause = (tries) => rest(WAITS[Math.min(tries, WAITS.length - 1)]);

  // Asks until there is an answer that is one.
  const asked = async (form, show, job, ...what) => {
    for (let tries = 0; !job.stopped; tries += 1) {
      const answer = await ask(...what);
      if (answer.status !== LOST && answer.status !== SIGNED_OUT) return answer;
      if (job.stopped) break;
      show.say(answer.status === LOST ? form.dataset.lost : form.dataset.signedOut);
      await pause(tries);
    }
    return { status: 0 };
  };

  // What the shop has on its disk, and its token of forms, which is another after every signing in.
  const looked = async (form, show, job, url) => {
    const there = await asked(form, show, job, "GET", url);
    if (there.csrf) job.csrf = there.csrf;
    return there;
  };

  // Makes it the film; with a stale token, once more with the one that counts.
  const used = async (form, show, job, begun) => {
    const last = new FormData(form);
    last.delete("film");
    for (let tries = 0; ; tries += 1) {
      last.set("csrfmiddlewaretoken", job.csrf);
      const answer = await asked(form, show, job, "POST", begun.use, { body: last });
      if (answer.status !== 403 || tries) return answer;
      await looked(form, show, job, begun.url);
    }
  };

  const send = async (form, file, job) => {
    const show = shown(form);
    job.csrf = csrf(form);
    const facts = new FormData();
    facts.set("csrfmiddlewaretoken", job.csrf);
    facts.set("token", form.querySelector("[name=token]").value);
    facts.set("name", file.name);
    facts.set("size", file.size);
    facts.set("mark", await mark(file));
    const begun = await asked(form, show, job, "POST", form.dataset.pieces, { body: facts });
    if (begun.status !== 200) return begun;
    let at = begun.received, idle = 0, stale = 0; // how often in a row nothing came of it
    show.at(at, file.size);
    while (at < file.size && !job.stopped) {
      const piece = file.slice(at, at + PIECE), from = at;
      const answer = await ask("PATCH", begun.url, {
        body: piece,
        headers: { "X-CSRFToken": job.csrf, "Upload-Offset": String(at), "Content-Type": "application/octet-stream" },
        moved: (event) => show.at(Math.min(from + event.loaded, file.size), file.size),
        hold: job,
      });
      if (job.stopped) break;
      if (answer.status === 200 || answer.status === 409) {
        if (answer.status === 409 && answer.received === at) return { status: 409 }; // else for ever
        at = answer.received;
        idle = stale = 0;
      } else if (answer.status === 403 && !stale) {
        stale = 1;
        await looked(form, show, job, begun.url);
      } else if ([LOST, SIGNED_OUT, 503].includes(answer.status)) {
        show.say(answer.status === SIGNED_OUT ? form.dataset.signedOut : form.dataset.lost);
        if (idle) await pause(idle - 1);
        const there = await looked(form, show, job, begun.url);
        if (there.status !== 200) return there;
        idle = there.received === at ? idle + 1 : 0;
        at = there.received; // what the shop has on its disk, whatever we believe
      } else {
        return answer;
      }
      show.at(at, file.size);
    }
    if (job.stopped) return { status: 0, why: form.dataset.stopped };
    show.say(form.dataset.whole);
    return used(form, show, job, begun);
  };

  document.addEventListener("submit", async (event) => {
    const form = event.target.closest("form[data-pieces]");
    const file = form && form.querySelector("input[type=file]").files[0];
    if (!file) return;
    event.preventDefault();
    if (form.job) return;
    const job = form.job = { stopped: false };
    const stop = form.querySelector("[data-stop]"), go = form.querySelector("button.go");
    const stay = (leaving) => leaving.preventDefault();
    window.addEventListener("beforeunload", stay);
    stop.hidden = false;
    go.setAttribute("aria-disabled", "true");
    stop.onclick = () => { job.stopped = true; if (job.xhr) job.xhr.abort(); };
    const end = await send(form, file, job);
    window.removeEventListener("beforeunload", stay);
    delete form.job;
    delete form.dataset.sent;
    stop.hidden = true;
    go.removeAttribute("aria-disabled");
    if (end.to) window.location.assign(end.to);
    else shown(form).say(end.why || (job.stopped ? form.dataset.stopped : form.dataset.failed));
  });
})();
