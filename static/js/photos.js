/* Photos: each file is a request of its own, with its progress, and tried again alone. Where the shop does not answer
   and the bench's waiting list is there (waiting.js), it waits in that. Without this a form sends all its files at once. */
(function () {
  "use strict";
  const words = (name) => document.body.dataset[name] || "";
  const part = (tag, name, text) => {
    const made = document.createElement(tag);
    if (name) made.className = name;
    if (text) made.textContent = text;
    return made;
  };
  const line = (file) => {
    const row = part("li");
    const image = part("img");
    image.alt = "";
    image.onerror = () => image.classList.add("blank"); // a kind that this browser cannot show
    image.onload = () => URL.revokeObjectURL(image.src);
    image.src = URL.createObjectURL(file);
    const bar = part("progress");
    bar.max = file.size || 1;
    bar.value = 0;
    bar.setAttribute("aria-label", file.name);
    row.append(image, part("p", "", file.name), bar);
    return { row, bar };
  };
  const answer = (xhr) => {
    try {
      return JSON.parse(xhr.responseText);
    } catch {
      return { ok: false, why: words("refused"), isNone: xhr.status < 400 }; // a page, as of a sign-in: the photo was not taken
    }
  };
  const STALLED = 30000; // ms without a byte or an answer: nobody is there
  const LOST = [0, 502, 503, 504, 511]; // as in sending.js
  const send = (form, field, file, shown) => new Promise((resolve) => {
    const body = new FormData(form);
    body.delete(field);
    body.append(field, file, file.name);
    const xhr = new XMLHttpRequest();
    let stalled = 0;
    const goes = () => {
      clearTimeout(stalled);
      stalled = setTimeout(() => xhr.abort(), STALLED);
    };
    xhr.open("POST", form.action);
    xhr.setRequestHeader("X-Photo", "one");
    xhr.upload.onprogress = (event) => {
      goes();
      shown.bar.value = Math.min(event.loaded, shown.bar.max);
    };
    xhr.onloadend = () => {
      clearTimeout(stalled);
      if (LOST.includes(xhr.status)) return resolve({ lost: true, why: words("lost") });
      const said = answer(xhr);
      if (said.isNone) return resolve({ lost: true, why: said.why });
      const kept = xhr.status >= 200 && xhr.status < 300 && said.ok;
      resolve(kept ? { said: said.said } : { why: said.why || words("refused") });
    };
    goes();
    xhr.send(body);
  });
  // Into the bench's list, where this page has one; false where it does not, or keeps nothing.
  const mayWait = (form) => form.matches("[data-waits]") && window.hiltyard && window.hiltyard.keepPhoto;
  const fresh = async () => {
    const now = document.getElementById("photos");
    if (!now) return window.location.reload();
    const text = await (await fetch(window.location.href)).text();
    const page = new DOMParser().parseFromString(text, "text/html");
    document.querySelectorAll("#photos, [data-fresh][id]").forEach((old) => {
      const made = page.getElementById(old.id);
      if (!made) return;
      old.replaceWith(made);
      if (window.htmx) window.htmx.process(made);
    });
  };

  // A slot is for its own view; whoever turns back from the camera is asked in turn again.
  const choose = (view) => {
    const field = document.querySelector("form[data-photos] [name=view]");
    if (field) field.value = view;
  };
  document.addEventListener("click", (event) => {
    const slot = event.target.closest(".slot[data-view]");
    if (slot) choose(slot.dataset.view);
  });
  document.addEventListener("cancel", (event) => {
    if (event.target.type === "file") choose("");
  }, true);
  document.addEventListener("change", (event) => {
    const form = event.target.closest("form[data-photos]");
    if (form && event.target.type === "file" && form.dataset.photos !== "wait") form.requestSubmit();
  });
  document.addEventListener("submit", async (event) => {
    const form = event.target;
    const input = form.matches("[data-photos]") && form.querySelector("input[type=file]");
    if (!input || !input.files.length) return;
    event.preventDefault();
    const list = form.querySelector(".uploads") || form.appendChild(part("ul", "uploads"));
    list.setAttribute("aria-live", "polite");
    // What was refused stays to be read, sent again or left, beside the photos that were kept.
    const renew = async () => {
      await fresh();
      const now = document.querySelector("form[data-photos]");
      if (!list.querySelector("li") || !now || now.contains(list)) return;
      now.querySelectorAll(".uploads").forEach((empty) => empty.remove());
      now.append(list);
    };
    const queue = [...input.files].map((file) => ({ file, shown: line(file) }));
    queue.forEach(({ shown }) => list.append(shown.row));
    let sent = false;
    const attempt = async ({ file, shown }) => {
      const behind = mayWait(form) && window.hiltyard.behind();
      const { why, said, lost } = behind ? { lost: true, why: words("lost") } : await send(form, input.name, file, shown);
      if (lost && mayWait(form) && await window.hiltyard.keepPhoto(form, input.name, file)) return shown.row.remove();
      sent = sent || !lost;
      if (!why && !said) return shown.row.remove();
      shown.row.querySelectorAll(".why, .line").forEach((old) => old.remove());
      const leave = part("button", "button quiet", words("leave"));
      leave.type = "button";
      leave.onclick = () => shown.row.remove();
      const deeds = part("div", "line");
      if (said) {
        deeds.append(leave);
        return shown.row.append(part("p", "why met", said), deeds);
      }
      const again = part("button", "button", words("again"));
      again.type = "button";
      again.onclick = async () => {
        again.remove();
        await attempt({ file, shown });
        if (sent && !list.querySelector(".stop")) await renew();
      };
      deeds.append(again, leave);
      shown.row.append(part("p", "why stop", why), deeds);
    };
    for (const one of queue) await attempt(one);
    input.value = "";
    if (sent) await renew();
  });
})();
