"use strict";
// A large keypad for whoever measures in gloves; the next field comes by itself with "next point".
(() => {
  const pad = document.getElementById("pad"), fields = [...document.querySelectorAll("[data-pad]")];
  if (!pad || !fields.length) return;
  pad.hidden = false;
  const order = [...fields].sort((a, b) => a.name.localeCompare(b.name, "en", { numeric: true }));
  const points = order.filter((one) => /^t\d/.test(one.name)), rest = fields.filter((one) => !/^t\d/.test(one.name));
  const all = [...points, ...rest];
  let now = all.find((one) => !one.value) || all[0];
  const mark = () => { for (const one of all) one.classList.toggle("now", one === now); };
  for (const one of all) one.addEventListener("focus", () => { now = one; mark(); });
  pad.addEventListener("click", (event) => {
    const key = event.target.dataset.key;
    if (!key) return;
    // a number that stands there already is written over, not written on
    if (/[\d.,]/.test(key) && now.value && now.value === now.defaultValue) now.value = "";
    if (key === "next") now = all[(all.indexOf(now) + 1) % all.length];
    else if (key === "back") now.value = now.value.slice(0, -1);
    else if (/[.,]/.test(key)) { if (!/[.,]/.test(now.value)) now.value = `${now.value || "0"}${key}`; }
    else if (now.value.length < 8) now.value += key;
    mark();
  });
  mark();
})();
