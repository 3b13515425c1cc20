/* Beside a film: chapters that seek, the one that plays now marked; for the shop, chapters set by one key and a
   still taken as picture. The browser's own player plays; without this the list still opens the film there. */
(function () {
  "use strict";
  const box = (spot) => spot.closest("[data-film-box]") || document;
  const film = (spot) => box(spot).querySelector("video[data-film]");
  const typing = (spot) => spot.isContentEditable || /^(INPUT|TEXTAREA|SELECT)$/.test(spot.tagName);
  const clock = (seconds) => {
    const whole = Math.floor(seconds), part = Math.floor((seconds - whole) * 10);
    const two = (n) => String(n).padStart(2, "0");
    const hours = Math.floor(whole / 3600), minutes = Math.floor(whole / 60) % 60;
    return `${hours ? `${hours}:${two(minutes)}` : minutes}:${two(whole % 60)}${part ? `.${part}` : ""}`;
  };

  document.addEventListener("click", (event) => {
    const link = event.target.closest("a[data-seek]");
    const video = link && film(link);
    if (!video || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    video.currentTime = Number(link.dataset.seek);
    video.play().catch(() => {});
    video.scrollIntoView({ block: "nearest" });
  });

  const mark = (video) => {
    let now = null;
    box(video).querySelectorAll("a[data-seek]").forEach((link) => {
      link.removeAttribute("aria-current");
      if (Number(link.dataset.seek) <= video.currentTime + 0.05) now = link;
    });
    if (now && video.currentTime > 0) now.setAttribute("aria-current", "true");
  };

  // Where a chapter would begin follows the film, until somebody types there.
  const follow = (video) => {
    const form = box(video).querySelector("form[data-chapter]");
    if (!form || form.at.dataset.typed) return;
    form.at.value = clock(video.currentTime);
    if (Number.isFinite(video.duration)) form.seconds.value = video.duration;
  };
  const moved = (event) => {
    if (!event.target.matches || !event.target.matches("video[data-film]")) return;
    mark(event.target);
    follow(event.target);
  };
  ["timeupdate", "seeked", "loadedmetadata"].forEach((name) => document.addEventListener(name, moved, true));
  document.addEventListener("input", (event) => {
    if (event.target.matches("form[data-chapter] [name=at]")) event.target.dataset.typed = "yes";
  });

  const set = (form) => {
    const video = film(form);
    if (video) follow(video);
    form.requestSubmit();
  };
  document.addEventListener("keydown", (event) => {
    if (event.key.toLowerCase() !== "c" || event.ctrlKey || event.metaKey || event.altKey || event.repeat) return;
    const form = document.querySelector("form[data-chapter]");
    if (!form || typing(event.target)) return;
    event.preventDefault();
    set(form);
  });

  // The player reads its chapters anew when the list has changed.
  document.addEventListener("htmx:afterSettle", (event) => {
    if (event.target.id !== "chapters") return;
    const video = film(event.target);
    const old = video && video.querySelector("track");
    if (!old) return;
    const made = old.cloneNode();
    made.src = `${old.src.split("?")[0]}?at=${Date.now()}`;
    old.replaceWith(made);
    mark(video);
    follow(video);
  });

  document.addEventListener("click", (event) => {
    const button = event.target.closest("[data-still]");
    const video = button && document.querySelector("video[data-film]");
    if (!video || !video.videoWidth) return;
    const canvas = document.createElement("canvas");
    canvas.width = video.videoWidth;
    canvas.height = video.videoHeight;
    canvas.getContext("2d").drawImage(video, 0, 0);
    canvas.toBlob((blob) => {
      if (!blob) return;
      const form = button.closest("form"), files = new DataTransfer();
      files.items.add(new File([blob], "still.jpg", { type: "image/jpeg" }));
      form.poster.files = files.files;
      form.requestSubmit();
    }, "image/jpeg", 0.9);
  });

  const unplayable = (video) => {
    const words = box(video).querySelector("[data-unplayable]");
    if (words) words.hidden = false;
  };
  document.addEventListener("error", (event) => {
    if (event.target.matches && event.target.matches("video[data-film]")) unplayable(event.target);
  }, true);
  document.querySelectorAll("video[data-film]").forEach((video) => {
    if (video.error) unplayable(video);
    if (video.readyState > 0) follow(video);
  });
})();
