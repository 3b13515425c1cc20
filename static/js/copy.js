/* A tap copies a text that stands on the page; without the script it is selected by hand. */
(function () {
  "use strict";
  const show = (root) => root.querySelectorAll("[data-copy][hidden]").forEach((button) => { button.hidden = false; });
  const select = (node) => {
    const range = document.createRange();
    range.selectNodeContents(node);
    const selection = window.getSelection();
    selection.removeAllRanges();
    selection.addRange(range);
  };
  // Over plain HTTP a browser offers no clipboard; selecting and its own copying still work there.
  const copy = async (node) => {
    const kept = navigator.clipboard && await navigator.clipboard.writeText(node.innerText.trim()).then(() => true, () => false);
    if (kept) return true;
    select(node);
    return document.execCommand("copy");
  };
  document.addEventListener("click", async (event) => {
    const button = event.target.closest("[data-copy]");
    const node = button && document.getElementById(button.dataset.copy);
    if (!node) return;
    if (!(await copy(node))) return select(node);
    const before = button.textContent;
    button.textContent = document.body.dataset.copied || before;
    setTimeout(() => { button.textContent = before; }, 2000);
  });
  document.addEventListener("DOMContentLoaded", () => show(document));
  document.addEventListener("htmx:afterSettle", () => show(document));
})();
