/* Says where each file of a chosen folder lay, which browsers do not send, and when it holds too many;
   without it the names alone come. */
(function () {
  "use strict";
  document.addEventListener("submit", (event) => {
    const form = event.target;
    const folder = form.querySelector("input[name=folder]");
    const paths = form.querySelector("input[name=paths]");
    if (!folder || !paths) return;
    const most = Number(form.dataset.mostFiles);
    if (folder.files.length > most) {
      event.preventDefault();
      event.stopPropagation();
      folder.setCustomValidity(form.dataset.tooMany);
      folder.reportValidity();
      return;
    }
    paths.value = JSON.stringify([...folder.files].map((file) => file.webkitRelativePath || file.name));
  }, true);
  document.addEventListener("change", (event) => {
    if (event.target.matches("input[name=folder]")) event.target.setCustomValidity("");
  });
})();
