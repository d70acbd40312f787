"use strict";
// A bad sheet: "all over" in one tap, and an entry that can be taken back for ten seconds.
(() => {
  const all = document.querySelector("[data-all]");
  if (all) {
    const cells = [...document.querySelectorAll("input[name=cell]")];
    const mark = () => all.setAttribute("aria-pressed", String(cells.every((one) => one.checked)));
    all.hidden = false;
    all.addEventListener("click", () => {
      const on = !cells.every((one) => one.checked);
      for (const one of cells) one.checked = on;
      mark();
    });
    for (const one of cells) one.addEventListener("change", mark);
    mark();
  }
  // counted by the server's clock, by which the tap is stamped too: a page that was long on its way offers it no longer
  const undo = document.querySelector("[data-until]");
  if (undo) {
    const words = undo.textContent.replace(/ \(\d+\)$/, "");
    const count = () => {
      const left = Math.floor((Number(undo.dataset.until) - flatstock.time.now()) / 1000);
      if (left < 0) { undo.remove(); clearInterval(timer); } else undo.textContent = `${words} (${left})`;
    };
    const timer = setInterval(count, 250);
  }
})();
