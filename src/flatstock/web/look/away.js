"use strict";
// A page with a form asks now and then whether the server is there. While it is not, a form that can't be kept is not
// sent into nothing: what was typed stays, and a sentence says so before more is typed.
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

  function told(gone) {
    if (gone === away()) return;
    if (gone) root.dataset.away = ""; else delete root.dataset.away;
    const kept = forms.filter((one) => one.dataset.keeps !== undefined);
    banner.textContent = kept.length
      ? `No network. ${kept.length === forms.length ? "What you note here is" : `${kept.map((one) => one.dataset.keeps).join(", ")}: this can be noted still, and is`} kept on this device and sent when the server is there again.${kept.length === forms.length ? "" : " Nothing else can be sent from this page now."}`
      : "No network: nothing can be sent from this page now. What you have typed stays; go on when this line is gone.";
    banner.hidden = !gone;
    document.dispatchEvent(new CustomEvent(gone ? "line:lost" : "line:back"));
  }

  async function ask() {
    if (document.visibilityState === "hidden") return;
    const ends = new AbortController(), timer = setTimeout(() => ends.abort(), 4000);
    try {
      await fetch("/floor/alive", { credentials: "same-origin", cache: "no-store", signal: ends.signal });
      told(false);
    } catch { told(true); } finally { clearTimeout(timer); }
  }

  addEventListener("offline", () => told(true));
  addEventListener("online", ask);
  document.addEventListener("visibilitychange", ask);
  setInterval(ask, EVERY);
  if (!navigator.onLine) told(true);

  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!away() || form.dataset.keeps !== undefined || form.method !== "post") return;
    event.preventDefault();
    event.stopImmediatePropagation();
    banner.textContent = "Not sent: there is no network. What you have typed stays here; tap again when this line is gone.";
    banner.scrollIntoView({ block: "start" });
  }, true);
})();
