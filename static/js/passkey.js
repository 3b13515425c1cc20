/* Passkeys: a form that carries what the browser is asked sends what the browser says. Without it, codes do. */
(function () {
  "use strict";
  const bytes = (text) => Uint8Array.from(atob(text.replace(/-/g, "+").replace(/_/g, "/")), (sign) => sign.charCodeAt(0));
  const text = (buffer) => btoa(String.fromCharCode(...new Uint8Array(buffer))).replace(/\+/g, "-").replace(/\//g, "_").replace(/=+$/, "");
  const listed = (list) => (list || []).map((each) => ({ ...each, id: bytes(each.id) }));

  const asked = (options) => ({
    ...options,
    challenge: bytes(options.challenge),
    ...(options.user && { user: { ...options.user, id: bytes(options.user.id) } }),
    ...(options.excludeCredentials && { excludeCredentials: listed(options.excludeCredentials) }),
    ...(options.allowCredentials && { allowCredentials: listed(options.allowCredentials) }),
  });
  const said = (credential) => {
    const response = {};
    for (const name of ["clientDataJSON", "attestationObject", "authenticatorData", "signature", "userHandle"]) {
      if (credential.response[name]) response[name] = text(credential.response[name]);
    }
    return JSON.stringify({ id: credential.id, rawId: text(credential.rawId), type: credential.type, response });
  };
  const ask = (options) => {
    const publicKey = asked(options);
    return options.user ? navigator.credentials.create({ publicKey }) : navigator.credentials.get({ publicKey });
  };

  const ready = () => document.querySelectorAll("form[data-passkey]").forEach((form) => {
    if (!window.PublicKeyCredential) return;
    form.hidden = false;
    form.addEventListener("submit", async (event) => {
      event.preventDefault();
      const why = form.querySelector(".wrong[hidden], .wrong[data-why]");
      try {
        form.elements.said.value = said(await ask(JSON.parse(form.dataset.passkey)));
        form.submit();
      } catch {
        why.textContent = form.dataset.refused;
        why.dataset.why = "";
        why.hidden = false;
        delete form.dataset.sent; // hiltyard.js sends a form once
        form.querySelectorAll("[aria-busy]").forEach((button) => button.removeAttribute("aria-busy"));
      }
    });
  });
  document.addEventListener("DOMContentLoaded", ready);
})();
