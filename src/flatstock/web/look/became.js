"use strict";
// What a correction makes of a moment, by the clock on the wall, while its minutes are turned.
(() => {
  const shown = document.querySelector("[data-became]"), field = document.getElementById("dial-minutes");
  const DAYS = ["Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"];
  const local = (ms) => new Date(ms + Number(shown.dataset.offset)); // its UTC fields are the shop's clock
  const two = (number) => String(number).padStart(2, "0");
  function say() {
    const minutes = Number(field.value.trim().replace(",", ".").replace("−", "-") || 0);
    if (!Number.isFinite(minutes)) { shown.textContent = "–"; return; }
    const at = local(Number(shown.dataset.became) + minutes * 60_000), hour = at.getUTCHours(), minute = two(at.getUTCMinutes());
    const face = document.documentElement.dataset.clock;
    const time = face === "am_pm" ? `${hour % 12 || 12}:${minute} ${hour < 12 ? "am" : "pm"}` : `${two(hour)}:${minute}`;
    const today = local(Number(shown.dataset.now)).getUTCDate() === at.getUTCDate();
    shown.textContent = today ? time : `${DAYS[at.getUTCDay()]} ${time}`;
  }
  field.addEventListener("input", say);
  say();
})();
