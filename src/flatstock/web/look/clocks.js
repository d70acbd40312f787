"use strict";
// The clocks on the board. They count to instants by the server's time, carried on by a clock that nobody can
// set; the tablet's own time of day is never asked, except for how long it slept.
const flatstock = window.flatstock = {};

flatstock.time = (() => {
  let base = null;      // the server's time, ms, when the monotonic clock stood at `at`
  let at = 0;
  let hidden = null;    // when the page went out of sight: both clocks
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "hidden") { hidden = [performance.now(), Date.now()]; return; }
    if (hidden && base !== null) {
      const slept = (Date.now() - hidden[1]) - (performance.now() - hidden[0]);
      if (slept > 2000) base += slept; // until the server says better
    }
    hidden = null;
    document.dispatchEvent(new CustomEvent("floor:ask"));
  });
  return {
    // `then`: when it came, by the page's own clock
    told(ms, then = performance.now()) { if (Number.isFinite(ms)) { base = ms; at = then; } },
    now() { return base === null ? null : base + (performance.now() - at); },
    stamp() { const now = this.now(); return new Date(now === null ? Date.now() : now).toISOString(); },
  };
})();

flatstock.EARLY = 3 * 60 * 1000;
const WORDS = { free: "free", wait: "wait", call: "soon", act: "act now", late: "late", danger: "danger" };

// how a mould stands at an instant, as the server would say it: the page goes on when it can't be asked
function stateOf(counts, latest, now, told) {
  if (told === "danger") return told;
  if (latest && now > latest) return "late";
  if (!counts) return told;
  const left = counts - now;
  if (left > flatstock.EARLY) return "wait";
  return left > 0 ? "call" : "act";
}

function two(n) { return String(n).padStart(2, "0"); }

function write(node, text) { if (node && node.textContent !== text) node.textContent = text; }

function showSpan(clock, span, sign) {
  const seconds = Math.floor(Math.abs(span) / 1000);
  const hours = Math.floor(seconds / 3600), minutes = Math.floor(seconds / 60);
  const main = clock.querySelector(".minutes"), small = clock.querySelector(".seconds");
  if (hours >= 2) { write(main, `${sign}${hours}`); write(small, `:${two(minutes % 60)} h`); }
  else { write(main, `${sign}${minutes}`); write(small, `:${two(seconds % 60)}`); }
  clock.toggleAttribute("data-long", main.textContent.length > 2);
  clock.toggleAttribute("data-hours", hours >= 2);
}

function tick() {
  const now = flatstock.time.now();
  if (now === null) return;
  for (const spot of document.querySelectorAll("#floor [data-counts]")) {
    const counts = Number(spot.dataset.counts) || 0, latest = Number(spot.dataset.latest) || 0;
    const clock = spot.querySelector(".clock");
    if (!clock) continue;
    if (counts) {
      const left = counts - now;
      // up while it must wait, so that 0:00 is never too early
      showSpan(clock, left > 0 ? left + 999 : left, left > 0 ? "" : "+");
      const counting = spot.querySelector(".counting");
      if (counting) write(counting, left > 0 ? counting.dataset.until : counting.dataset.over);
    } else showSpan(clock, now - Number(spot.dataset.since), "");
    const state = stateOf(counts, latest, now, spot.dataset.state);
    if (state !== spot.dataset.state) {
      spot.dataset.state = state;
      const mark = spot.querySelector(".mark");
      if (mark) { mark.querySelector(".shape").className = `shape ${state}`; write(mark.querySelector(".word"), WORDS[state]); }
      document.dispatchEvent(new CustomEvent("floor:turned", { detail: { spot, state } }));
      document.dispatchEvent(new CustomEvent("floor:ask"));
    }
  }
  // platens that heat up: at the end the board says that the press is free
  for (const spot of document.querySelectorAll("#floor [data-warms]")) {
    const left = Number(spot.dataset.warms) - now;
    showSpan(spot.querySelector(".clock"), Math.max(0, left + 999), "");
    if (left <= 0 && spot.dataset.state === "wait") { spot.dataset.state = "free"; document.dispatchEvent(new CustomEvent("floor:ask")); }
  }
  const shown = document.getElementById("time");
  if (shown) {
    const local = new Date(now + Number(shown.dataset.offset || 0));
    const hour = local.getUTCHours(), minute = two(local.getUTCMinutes());
    const face = document.documentElement.dataset.clock;
    write(shown, face === "am_pm" ? `${hour % 12 || 12}:${minute} ${hour < 12 ? "am" : "pm"}` : `${two(hour)}:${minute}`);
  }
}

function told() {
  const floor = document.getElementById("floor");
  if (floor) flatstock.time.told(Number(floor.dataset.server));
}
told();
tick();
setInterval(tick, 250);
document.addEventListener("floor:shown", () => { tick(); });
