"use strict";
// Calls that are heard. A browser lets a page sound only after one tap on it; until then the board says so.
(() => {
  const button = document.getElementById("sound");
  let audio = null;
  const sounded = new Set();
  const TONES = { early: [660, 880], due: [880, 880, 880], late: [990, 740, 990, 740], unattended: [740, 740, 740], danger: [1050, 700, 1050, 700, 1050, 700] };
  const AGAIN = 30000;

  function sound(kind) {
    if (!audio) return;
    let when = audio.currentTime + 0.02;
    for (const tone of TONES[kind] || TONES.early) {
      const voice = audio.createOscillator(), loud = audio.createGain();
      voice.frequency.value = tone;
      voice.type = "square";
      loud.gain.setValueAtTime(0.0001, when);
      loud.gain.exponentialRampToValueAtTime(0.5, when + 0.02);
      loud.gain.exponentialRampToValueAtTime(0.0001, when + 0.24);
      voice.connect(loud).connect(audio.destination);
      voice.start(when);
      voice.stop(when + 0.26);
      when += 0.28;
    }
    flatstock.sounded = (flatstock.sounded || 0) + 1;
  }

  function say() {
    const on = audio !== null && audio.state === "running";
    button.setAttribute("aria-pressed", String(on));
    button.textContent = on ? "Sound is on" : "Sound is off: tap once";
  }

  button.addEventListener("click", async () => {
    if (audio && audio.state === "running") { await audio.suspend(); say(); return; }
    audio = audio || new AudioContext();
    await audio.resume();
    say();
    sound("early");
    calls();
  });

  function calls() {
    if (!audio || audio.state !== "running") return;
    for (const call of document.querySelectorAll("#floor .calling, #floor .danger-now")) {
      const name = call.dataset.call || `danger ${call.dataset.dangerOn}`, kind = call.dataset.kind || "danger";
      const urgent = kind === "late" || kind === "danger" || kind === "unattended";
      const mark = urgent ? `${name} ${Math.floor(performance.now() / AGAIN)}` : name;
      if (!sounded.has(mark)) { sounded.add(mark); sound(kind); }
    }
  }

  // the page calls by itself when the server can't be asked
  document.addEventListener("floor:turned", (event) => {
    const { spot, state } = event.detail, kind = { call: "early", act: "due", late: "late" }[state];
    if (!kind) return;
    const mark = `${kind === "early" ? "early" : state} ${spot.dataset.sheet}`;
    if (![...sounded].some((one) => one.startsWith(mark))) { sounded.add(mark); sound(kind); }
  });
  document.addEventListener("floor:shown", calls);
  setInterval(calls, 2000);
  say();
})();
