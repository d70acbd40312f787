"use strict";
// One stream a browser, shared between its pages; it is given back when the page goes. When it falls silent the
// page says so, keeps its clocks, and never loads itself again by itself.
(() => {
  const SILENT = 12000;   // ms: two signs of life are missed then, and two seconds more
  const HELD = 2000;      // ms for which a finger that rests on the glass keeps the board as it is
  let source = null, heard = performance.now(), gone = false, asking = false, again = false;
  const line = document.getElementById("line");
  const pages = "BroadcastChannel" in window ? new BroadcastChannel("flatstock-floor") : null;
  let unpaired = false;
  let follows = false;   // another page of this browser has the stream

  function say(back) {
    if (!line || unpaired) return;
    const state = document.createElement("span");
    if (back) { state.className = "state done"; state.textContent = "live"; }
    else {
      state.className = "state gone";
      state.textContent = "no network: clocks go on, taps are kept";
    }
    const waiting = flatstock.waiting || 0;
    line.replaceChildren(state, waiting ? ` ${waiting} tap${waiting === 1 ? "" : "s"} not sent yet` : "");
  }

  // somebody has taken this device off the list: what is on the screen grows old
  function forgotten() {
    unpaired = true;
    close();
    if (!line) return;
    const state = document.createElement("span"), pair = document.createElement("a");
    state.className = "state gone";
    state.textContent = "no longer paired: nothing here is fresh.";
    pair.href = "/pair";
    pair.textContent = "Pair it again";
    line.replaceChildren(state, " ", pair);
  }

  function alive(ms) {
    heard = performance.now();
    flatstock.time.told(ms);
    if (gone) { gone = flatstock.gone = false; document.dispatchEvent(new CustomEvent("line:back")); ask(); }
    say(true);
  }

  function lost() {
    if (!gone) {
      gone = flatstock.gone = true;
      document.dispatchEvent(new CustomEvent("line:lost"));
      if (source && pages) pages.postMessage({ gone: true });
    }
    say(false);
  }

  function open() {
    if (source || follows || unpaired) return;
    const floor = document.getElementById("floor");
    source = new EventSource(floor ? `/floor/live?seen=${floor.dataset.number}&mark=${floor.dataset.mark}` : "/floor/live");
    source.addEventListener("floor", (event) => {
      alive(Number(event.data));
      if (pages) pages.postMessage({ floor: event.lastEventId, ms: Number(event.data) });
      ask();
    });
    source.addEventListener("beat", (event) => {
      alive(Number(event.data));
      if (pages) pages.postMessage({ ms: Number(event.data) });
    });
    // the stream is broken off: whether there still is a server is asked at once, not waited for
    source.onerror = ask;
  }

  function close() { if (source) { source.close(); source = null; } }

  if (pages) {
    pages.onmessage = (event) => {
      const said = event.data;
      if (said.gone && !gone) ask();
      if (said.left && follows) { follows = false; open(); } // not after a silence, which is said to be no network
      if (said.ms === undefined) return;
      // whoever has the stream speaks; of two who have it, the one that hears the other first gives it back
      if (source && said.ms && !follows && document.visibilityState === "hidden") close();
      if (!source) follows = true;
      alive(said.ms);
      if (said.floor !== undefined) ask();
    };
  }

  // nothing is put in another's place under a finger: a tap would be lost, or land on another step
  let finger = null;
  addEventListener("pointerdown", () => { finger = performance.now(); }, true);
  for (const off of ["pointerup", "pointercancel"]) addEventListener(off, () => setTimeout(() => { finger = null; }), true); // its click comes first
  async function lifted() {
    while (finger !== null && performance.now() - finger < HELD) await new Promise((go) => setTimeout(go, 30));
  }

  async function ask() {
    if (asking) { again = true; return; }
    asking = true;
    try {
      do {
        again = false;
        const answer = await fetch("/floor", { credentials: "same-origin", headers: { "hx-request": "true" } });
        const came = performance.now();
        if (answer.redirected && new URL(answer.url).pathname === "/pair") { forgotten(); return; }
        if (!answer.ok) return;
        const text = await answer.text();
        await lifted();
        const floor = document.getElementById("floor");
        if (!floor || !text.includes('id="floor"')) return;
        Idiomorph.morph(floor, text.trim(), { morphStyle: "outerHTML" });
        const shown = document.getElementById("floor");
        heard = performance.now();
        flatstock.time.told(Number(shown.dataset.server), came);
        document.dispatchEvent(new CustomEvent("floor:shown"));
      } while (again);
    } catch { lost(); } finally { asking = false; }
  }

  document.addEventListener("floor:ask", ask);
  addEventListener("offline", ask);   // the app may be on this very machine
  document.addEventListener("line:gone", lost);
  document.addEventListener("taps:waiting", () => say(!gone));
  addEventListener("pagehide", () => { close(); if (pages) pages.postMessage({ left: true }); });
  addEventListener("pageshow", (event) => { if (event.persisted) { follows = false; open(); ask(); } });
  setInterval(() => {
    if (performance.now() - heard > SILENT) {
      lost();
      if (follows) { follows = false; open(); }
      else if (source && source.readyState === EventSource.CLOSED) { close(); open(); }
    }
  }, 1000);
  setInterval(() => { if (!gone) ask(); }, 30000); // what a platen's reading is old, who is here
  // a page that was opened second waits a moment for the first one's word
  setTimeout(open, pages ? 300 : 0);
})();
