/* Says where each file of a chosen folder lay, which browsers do not send; without it the names alone come. */
(function () {
  "use strict";
  document.addEventListener("submit", (event) => {
    const form = event.target;
    const folder = form.querySelector("input[name=folder]");
    const paths = form.querySelector("input[name=paths]");
    if (!folder || !paths) return;
    paths.value = JSON.stringify([...folder.files].map((file) => file.webkitRelativePath || file.name));
  }, true);
})();
