"use strict";
// A page with a form asks now and then whether the server is there. While it is not, a form that can't be kept is not
// sent into nothing: what was typed stays, and a sentence says so before more is typed. While it is only slow to answer,
// such a form waits on its page and goes out by itself, once, when the server has answered.
(() => {
  const root = document.documentElement;
  const forms = [...document.querySelectorAll('form[method="post"]')].filter((one) => !one.classList.contains("ground"));
  if (!forms.length || document.getElementById("line")) return; // the board has a stream that tells it
  const EVERY = 5000;
  const banner = document.createElement("p");
  banner.className = "aside-top away";
  banner.setAttribute("role", "status");
  banner.hidden = true;
  document.getElementById("main").before(banner);

  const away = () => root.dataset.away !== undefined;
  let slow = false, going = false, due = null; // due: a form that was tapped while the server was slow, and by which button

  function show(words) {
    banner.textContent = words;
    banner.hidden = !words;
  }

  function told(gone, silent = false) {
    slow = silent;
    if (gone === away()) {
      if (!gone && !due && !going) show(slow ? "The server is slow to answer. What you send waits here and goes out by itself, once; nothing has to be tapped again." : "");
    } else {
      if (gone) root.dataset.away = ""; else delete root.dataset.away;
      const kept = forms.filter((one) => one.dataset.keeps !== undefined);
      const words = kept.length
        ? `No network. ${kept.length === forms.length ? "What you note here is" : `${kept.map((one) => one.dataset.keeps).join(", ")}: this can be noted still, and is`} kept on this device and sent when the server is there again.${kept.length === forms.length ? "" : " Nothing else can be sent from this page now."}`
        : "No network: nothing can be sent from this page now. What you have typed stays; go on when this line is gone.";
      show(gone ? words : "");
      document.dispatchEvent(new CustomEvent(gone ? "line:lost" : "line:back"));
    }
    if (due && away()) {
      due = null;
      show("Not sent: there is no network. What you typed stays here; tap again when this line is gone.");
    } else if (due && !slow) {
      const { form, by } = due;
      due = null;
      form.requestSubmit(by);
    }
  }

  async function ask() {
    if (document.visibilityState === "hidden") return;
    const ends = new AbortController(), timer = setTimeout(() => ends.abort(), 4000);
    try {
      await fetch("/floor/alive", { credentials: "same-origin", cache: "no-store", signal: ends.signal });
      told(false);
    } catch (error) {
      if (error.name === "AbortError" && !away()) told(false, true); else told(true);
    } finally { clearTimeout(timer); }
  }

  addEventListener("offline", () => told(true));
  addEventListener("online", ask);
  document.addEventListener("visibilitychange", ask);
  setInterval(ask, EVERY);
  if (!navigator.onLine) told(true);

  const AGAIN = 60000; // ms for which a second tap on a form is taken for the first
  let sent = new WeakMap();
  addEventListener("pageshow", (event) => { if (event.persisted) { sent = new WeakMap(); going = false; } });
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (form.dataset.keeps !== undefined || form.method !== "post") return;
    const stop = () => { event.preventDefault(); event.stopImmediatePropagation(); };
    if (away()) {
      stop();
      show("Not sent: there is no network. What you have typed stays here; tap again when this line is gone.");
      banner.scrollIntoView({ block: "start" });
    } else if (performance.now() - sent.get(form) < AGAIN) stop(); // on its way, however slow the server is
    else if (slow) {
      stop();
      due = { form, by: event.submitter };
      show("Not sent yet: the server is slow to answer. It goes out by itself, once, when the server has answered; nothing has to be tapped again.");
      banner.scrollIntoView({ block: "start" });
    } else if (!form.matches("[hx-post], [hx-get]")) {
      sent.set(form, performance.now());
      going = true;
      setTimeout(() => show("It is on its way; the server has not answered yet. Nothing has to be tapped again."), 2000);
    }
  }, true);
})();
