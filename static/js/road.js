/* For the road: a scanned tag ticks its parcel on the page itself, with or without signal. */
(function () {
  "use strict";
  const field = document.querySelector("[data-road-scan]");
  if (!field) return;
  field.closest("[hidden]").hidden = false;
  const said = document.getElementById("road-said");
  const number = (text) => {
    const found = /build\W+0*(\d{1,9})(?!\d)/i.exec(text) || /^\W*0*(\d{1,9})\W*$/.exec(text.trim());
    return found ? found[1] : "";
  };
  field.addEventListener("keydown", (event) => {
    if (event.key !== "Enter") return;
    event.preventDefault(); // the form is for the end, when there is signal
    const read = number(field.value);
    const box = read && document.querySelector(`[data-builds~="${read}"]`);
    said.textContent = !box ? said.dataset.none : box.checked ? said.dataset.twice : said.dataset.ticked;
    if (box) {
      box.checked = true;
      box.closest("li").scrollIntoView({ block: "nearest" });
    }
    field.value = "";
  });
})();
