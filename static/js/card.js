/* Sums the files of a card's folder in the browser (SHA-256, FIPS 180-4), so that they need not be sent.
   Our own, because browsers keep theirs for HTTPS and hold a whole file in memory. Without it a list is sent. */
(function () {
  "use strict";
  const K = new Uint32Array(64);
  const begun = new Uint32Array(8);
  const primes = [];
  for (let n = 2; primes.length < 64; n++) if (primes.every((p) => n % p)) primes.push(n);
  const fraction = (x) => ((x - Math.floor(x)) * 4294967296) >>> 0;
  primes.forEach((p, i) => {
    K[i] = fraction(Math.cbrt(p));
    if (i < 8) begun[i] = fraction(Math.sqrt(p));
  });

  class Sum {
    constructor() {
      this.h = begun.slice();
      this.w = new Uint32Array(64);
      this.rest = new Uint8Array(0);
      this.length = 0;
    }
    block(b, at) {
      const w = this.w;
      for (let i = 0; i < 16; i++, at += 4) w[i] = (b[at] << 24) | (b[at + 1] << 16) | (b[at + 2] << 8) | b[at + 3];
      for (let i = 16; i < 64; i++) {
        const x = w[i - 15], y = w[i - 2];
        const s0 = ((x >>> 7) | (x << 25)) ^ ((x >>> 18) | (x << 14)) ^ (x >>> 3);
        const s1 = ((y >>> 17) | (y << 15)) ^ ((y >>> 19) | (y << 13)) ^ (y >>> 10);
        w[i] = (w[i - 16] + s0 + w[i - 7] + s1) | 0;
      }
      let [a, c, d, e, f, g, h, k] = this.h; // a b c d e f g h of the standard
      for (let i = 0; i < 64; i++) {
        const s1 = ((f >>> 6) | (f << 26)) ^ ((f >>> 11) | (f << 21)) ^ ((f >>> 25) | (f << 7));
        const t1 = (k + s1 + ((f & g) ^ (~f & h)) + K[i] + w[i]) | 0;
        const s0 = ((a >>> 2) | (a << 30)) ^ ((a >>> 13) | (a << 19)) ^ ((a >>> 22) | (a << 10));
        const t2 = (s0 + ((a & c) ^ (a & d) ^ (c & d))) | 0;
        k = h; h = g; g = f; f = (e + t1) | 0; e = d; d = c; c = a; a = (t1 + t2) | 0;
      }
      [a, c, d, e, f, g, h, k].forEach((v, i) => { this.h[i] += v; });
    }
    add(bytes) {
      this.length += bytes.length;
      let all = bytes;
      if (this.rest.length) {
        all = new Uint8Array(this.rest.length + bytes.length);
        all.set(this.rest);
        all.set(bytes, this.rest.length);
      }
      const whole = all.length - (all.length % 64);
      for (let at = 0; at < whole; at += 64) this.block(all, at);
      this.rest = all.slice(whole);
    }
    end() {
      const bits = this.length * 8;
      const size = this.rest.length < 56 ? 64 : 128;
      const last = new Uint8Array(size);
      last.set(this.rest);
      last[this.rest.length] = 0x80;
      const view = new DataView(last.buffer);
      view.setUint32(size - 8, Math.floor(bits / 4294967296));
      view.setUint32(size - 4, bits >>> 0);
      for (let at = 0; at < size; at += 64) this.block(last, at);
      return [...this.h].map((v) => v.toString(16).padStart(8, "0")).join("");
    }
  }

  const STEP = 4 * 1024 * 1024;
  const sum = async (file) => {
    const made = new Sum();
    for (let at = 0; at < file.size; at += STEP) made.add(new Uint8Array(await file.slice(at, at + STEP).arrayBuffer()));
    return made.end();
  };
  const path = (file) => (file.webkitRelativePath || file.name).split("/").slice(file.webkitRelativePath ? 1 : 0).join("/");

  document.addEventListener("DOMContentLoaded", () => {
    const form = document.querySelector(".card-check");
    const folder = form && form.querySelector("#card-folder");
    if (!folder) return;
    form.querySelector(".card-folder").hidden = false;
    const said = form.querySelector(".card-progress");
    const button = form.querySelector("button");
    // Choosing the folder checks it by itself: the button is for a list that was chosen.
    const list = form.querySelector("[name=listing]");
    const offer = () => { button.hidden = !list.files.length; };
    list.addEventListener("change", offer);
    offer();
    folder.addEventListener("change", async () => {
      const files = [...folder.files];
      const lines = [];
      button.disabled = true;
      for (const [i, file] of files.entries()) {
        said.textContent = `${form.dataset.summing} ${i + 1} / ${files.length}`;
        lines.push(`${await sum(file)}  ${path(file)}`);
      }
      form.querySelector("[name=sums]").value = lines.join("\n");
      button.disabled = false;
      if (files.length) form.requestSubmit();
    });
  });
})();
