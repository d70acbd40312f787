"use strict";
// Noting what happened, in gloves: what, where, who. Nothing is typed where a tap will do.
(() => {
  const dialog = document.getElementById("hands");
  const parts = Object.fromEntries(["title", "say", "places", "keys", "number", "unit", "people", "whys", "faults", "done", "close"]
    .map((name) => [name, document.getElementById(`hands-${name}`)]));
  const DANGERS = new Set(["power_cut", "smoke", "accident"]);
  const comma = document.documentElement.dataset.mark === "comma";
  // a shop that reads pounds, inches and °F is asked in them; what is noted is metric: unit, to it, from it
  const US = document.documentElement.dataset.units === "us";
  const READ = { "°C": ["°F", (c) => c * 1.8 + 32, (f) => (f - 32) / 1.8], kg: ["lb", (kg) => kg / 0.45359237, (lb) => lb * 0.45359237], mm: ["in", (mm) => mm / 25.4, (inch) => inch * 25.4] };
  // a scale that counts in pounds and ounces: "6 lb 11.5", told as ounces; how many decimals of one
  const OUNCES = document.documentElement.dataset.ounces === undefined ? null : Number(document.documentElement.dataset.ounces);
  const IN_OUNCES = ["oz", (kg) => kg / 0.45359237 * 16, (oz) => oz / 16 * 0.45359237];
  const say = (number, digits) => { const said = number.toFixed(digits); return comma ? said.replace(".", ",") : said; };
  let doing = null, typed = "", fresh = false;
  let people = JSON.parse(document.getElementById("people-data").content.textContent);
  const here = () => (document.getElementById("floor").dataset.here || "").split(" ").filter(Boolean);

  const floor = () => document.getElementById("floor").dataset;

  function button(text, pressed) {
    const made = document.createElement("button");
    made.type = "button";
    made.textContent = text;
    if (pressed !== undefined) made.setAttribute("aria-pressed", String(pressed));
    return made;
  }

  function reading() {
    const [, pounds, rest] = typed.match(/^(?:(\d+) lb ?)?(.*)$/);
    const value = Number(rest.replace(",", ".")) + 16 * Number(pounds || 0);
    return typed === "" || !Number.isFinite(value) ? null : value;
  }

  function poundsAndOunces(ounces) {
    const whole = Math.floor(Number(ounces.toFixed(OUNCES)) / 16);
    return `${whole ? `${whole} lb ` : ""}${say(ounces - 16 * whole, OUNCES)}`;
  }

  // the reading as it is noted
  function metric() { const value = reading(); return value === null || !doing.read ? value : Number(doing.read[2](value).toFixed(4)); }

  function needed() { return doing.lift ? 1 : doing.people; }

  function lacks() {
    if (doing.to.length > 1 && !doing.place) return "where to?";
    if (doing.number) {
      const value = reading();
      if (value === null) return doing.number === "set_point_C" ? "set to what?" : "what does it read?";
      if (value < doing.low || value > doing.high) return `${typed} ${doing.unit}? Between ${doing.low} and ${doing.high} is expected`;
    }
    if (doing.whys && !doing.why) return "why?";
    if (doing.dry && !doing.dried) return "is it dried?";
    if (doing.extract && !doing.runs) return "does the extract run?";
    if (doing.heat && doing.off === undefined) return "were its heaters off meanwhile?";
    const short = needed() - doing.chosen.length;
    if (short > 0) return `${short} more ${short === 1 ? "person" : "people"}`;
    return "";
  }

  const NOT_RIGHT = "not right";
  // what a weighing means in the sheet
  function off() {
    const value = doing.perMm ? metric() : null, read = reading();
    if (value === null || read < doing.low || read > doing.high) return "";
    const kilograms = value - doing.facts.target_kg, thick = Math.abs(kilograms / doing.perMm);
    if (Math.abs(kilograms) < 0.005) return "as wanted";
    // a part's share of what the whole charge may be off, never less than a step of the scale
    const within = doing.charge ? Math.max(doing.tolerance * doing.facts.target_kg / doing.charge, doing.step) : 0;
    const right = Math.abs(kilograms) <= within + 1e-9 ? "right" : NOT_RIGHT;
    const over = kilograms > 0, off = Math.abs(kilograms);
    const heavy = (kg) => (OUNCES === null ? `${say(READ.kg[1](kg), 2)} lb` : `${poundsAndOunces(IN_OUNCES[1](kg))} oz`);
    const [mass, thickness] = US ? [heavy(off), `${say(READ.mm[1](thick), 3)} in`] : [`${say(off, 2)} kg`, `${say(thick, 2)} mm`];
    const may = within ? `; ${right}: up to ${US ? heavy(within) : `${say(within, 2)} kg`} off is allowed` : "";
    return `${mass} ${over ? "over" : "short"}: ${thickness} too ${over ? "thick" : "thin"}${may}`;
  }

  // what is drawn anew keeps the keyboard where it was
  flatstock.keeping = (make) => {
    const held = document.activeElement, box = held && held.closest("dialog .picks");
    const spot = box ? [...box.children].indexOf(held) : -1;
    make();
    if (spot >= 0 && box.children[spot]) box.children[spot].focus();
  };

  function draw() { flatstock.keeping(drawAll); }

  function drawAll() {
    parts.title.textContent = doing.words;
    parts.say.textContent = doing.blocked || "";
    parts.places.replaceChildren(...(doing.to.length > 1 ? doing.to : []).map((place) => {
      const made = button(place, doing.place === place);
      made.addEventListener("click", () => { doing.place = place; draw(); });
      return made;
    }));
    parts.keys.hidden = !doing.number;
    if (doing.number) { parts.number.textContent = typed || "–"; parts.unit.textContent = doing.unit; }
    const able = people.filter((one) => here().includes(one.id) && (!doing.skill || one.skills.includes(doing.skill)));
    const picks = doing.people ? able.map((one) => {
      const made = button(one.id, doing.chosen.includes(one.id));
      made.addEventListener("click", () => {
        // the same person is never two: a second tap takes them out again
        doing.chosen = doing.chosen.includes(one.id) ? doing.chosen.filter((id) => id !== one.id) : [...doing.chosen, one.id].slice(-Math.max(needed(), 1));
        draw();
      });
      return made;
    }) : [];
    if (doing.people && !able.length) {
      const none = document.createElement("p");
      none.textContent = doing.skill ? "Nobody who is trained for it is here. Leave it closed." : "Nobody is here: say who is, under People.";
      picks.push(none);
    }
    if (doing.dry) {
      const made = button("it is dried", doing.dried === true);
      made.addEventListener("click", () => { doing.dried = !doing.dried; draw(); });
      picks.push(made);
    }
    if (doing.extract) {
      const made = button("the extract runs", doing.runs === true);
      made.addEventListener("click", () => { doing.runs = !doing.runs; draw(); });
      picks.push(made);
    }
    // after smoke or an accident nobody knows whether somebody got to the isolator, and the dwell hangs on it
    for (const [words, off] of doing.heat ? [["heaters were off", true], ["heaters stayed on", false]] : []) {
      const made = button(words, doing.off === off);
      made.addEventListener("click", () => { doing.off = off; draw(); });
      picks.push(made);
    }
    for (const lift of doing.lifts || []) {
      const made = button(`with ${lift}`, doing.lift === lift);
      made.addEventListener("click", () => { doing.lift = doing.lift === lift ? null : lift; doing.chosen = doing.chosen.slice(0, needed()); draw(); });
      picks.push(made);
    }
    parts.people.replaceChildren(...picks);
    parts.whys.replaceChildren(...(doing.whys || []).map((why) => {
      const made = button(why, doing.why === why);
      made.addEventListener("click", () => { doing.why = why; draw(); });
      return made;
    }));
    const short = lacks();
    sayOff(off(), short);
    parts.done.disabled = short !== "";
    const by = doing.chosen.join(" + ");
    parts.done.textContent = by ? `Done: ${by}` : "Done";
  }

  // a charge that is not right is not said as quietly as who is still to be tapped
  function sayOff(weighed, short) {
    const wrong = weighed.includes(NOT_RIGHT);
    parts.faults.classList.toggle("quiet", !wrong);
    if (!wrong) { parts.faults.textContent = [weighed, short].filter(Boolean).join("; "); return; }
    const shape = document.createElement("span"), loud = document.createElement("strong");
    shape.className = "shape late";
    shape.setAttribute("aria-hidden", "true");
    loud.textContent = weighed;
    parts.faults.replaceChildren(shape, " ", loud, short ? `; ${short}` : "");
  }

  function begin(what, signed = false) {
    if (document.documentElement.dataset.role === "visitor") { // reads what to do, and notes nothing
      if (DANGERS.has(what.kind)) takeover(what.kind, "This device notes nothing: tell somebody of the shop.");
      return;
    }
    read(); // what was said to the tap before is over with the next one
    doing = { to: [], who: [], facts: {}, chosen: [], people: 0, ...what };
    if (doing.to.length) doing.place = doing.to[0];
    // signed: just now, which a board that was on its way does not say yet
    if (doing.kind === "heating_on" && !signed && floor().checked !== "yes") { flatstock.startChecks(() => begin(what, true)); return; }
    // nobody has said that it runs: asked with the step that opens a hot mould
    doing.extract = (doing.kind === "transferred" || doing.kind === "breathed") && floor().extract !== "on";
    if (doing.kind === "moved" || doing.kind === "demoulded") doing.lifts = flatstock.lifts;
    const ounces = OUNCES !== null && doing.unit === "kg";
    if (US && READ[doing.unit]) {
      doing.read = ounces ? IN_OUNCES : READ[doing.unit];
      const there = doing.read[1];
      Object.assign(doing, { unit: doing.read[0], low: Math.round(there(doing.low)), high: Math.round(there(doing.high)) });
      if (doing.offer !== undefined) doing.offer = Number(there(doing.offer).toFixed(doing.unit === "lb" ? 2 : ounces ? OUNCES : 0));
    }
    typed = doing.offer === undefined ? "" : ounces ? poundsAndOunces(doing.offer) : (comma ? String(doing.offer).replace(".", ",") : String(doing.offer));
    fresh = true;
    draw();
    if (!doing.people && !doing.number && doing.to.length < 2 && !doing.whys) { done(); return; }
    dialog.showModal();
  }

  async function done() {
    if (lacks()) return;
    const facts = { ...doing.facts };
    if (doing.number) facts[doing.number] = metric();
    if (doing.lift) facts.lift = doing.lift;
    if (doing.dried) facts.dried = true;
    const event = { kind: doing.kind, sheet: doing.sheet || null, place: doing.place || null, who: doing.chosen, facts };
    if (doing.at) event.at = doing.at; // when it happened, where that is not now
    if (doing.corrects) event.corrects = doing.corrects;
    if (doing.why) event.why = doing.why;
    const said = doing.number ? `${doing.words}: ${typed} ${doing.unit}` : doing.words; // a slip is seen while it can be undone
    const { extract, off, heat } = doing; // the next step may be begun before the device has kept this one
    if (dialog.open) dialog.close();
    if (DANGERS.has(event.kind)) takeover(event.kind);
    if (extract) await flatstock.taps.tap({ kind: "extract_on", who: event.who.slice(0, 1) });
    if (off) await flatstock.taps.tap({ kind: "heating_off", place: event.place, who: event.who, at: heat });
    const tap = await flatstock.taps.tap(event);
    if (tap.kind !== "undone") offerUndo(tap, said);
    mark(tap, said);
  }

  parts.done.addEventListener("click", done);
  parts.close.addEventListener("click", () => dialog.close());
  document.querySelector("#hands .keys").addEventListener("click", (event) => { if (event.target.dataset.key) press(event.target.dataset.key); });
  // who has a keyboard types the number, wherever the focus is
  dialog.addEventListener("keydown", (event) => {
    if (!doing || !doing.number || event.ctrlKey || event.altKey || event.metaKey) return;
    if (/^[\d.,]$/.test(event.key)) press(event.key);
    else if (event.key === "l" && OUNCES !== null) press("lb");
    else if (event.key === "Backspace") press("back");
    else return;
    event.preventDefault();
  });
  function press(key) {
    if (key === "back") typed = typed.replace(/ lb $|.$/, "");
    else {
      if (fresh) typed = "";
      if (/[.,]/.test(key)) { if (!/[.,]/.test(typed)) typed = (typed || "0") + (comma ? "," : "."); }
      else if (key === "lb") { if (/^\d+$/.test(typed)) typed += " lb "; }
      else if (typed.length < (OUNCES === null ? 8 : 12)) typed += key;
    }
    fresh = false;
    draw();
  }

  // what a tile says before the server has answered
  function mark(tap, words) {
    const spot = tap.sheet && document.querySelector(`#floor [data-sheet="${CSS.escape(tap.sheet)}"]`);
    if (!spot) return;
    const note = document.createElement("p");
    note.className = "unsent";
    note.dataset.tap = tap.id;
    note.textContent = `${words}: noted ${document.getElementById("time").textContent}, not sent yet`;
    spot.append(note);
  }

  const undo = document.getElementById("undo");
  let last = null, undoEnds = 0;
  function offerUndo(tap, words) {
    last = tap;
    undoEnds = performance.now() + 10000;
    undo.querySelector("p").textContent = words;
    undo.hidden = false;
  }
  setInterval(() => {
    if (undo.hidden) return;
    const left = Math.ceil((undoEnds - performance.now()) / 1000);
    if (left <= 0) { undo.hidden = true; return; }
    undo.querySelector("button").textContent = `Undo (${left})`;
  }, 200);
  undo.querySelector("button").addEventListener("click", () => {
    undo.hidden = true;
    document.getElementById("takeover").hidden = true;
    flatstock.taps.tap({ kind: "undone", corrects: last.id, who: last.who, sheet: last.sheet, place: null });
  });

  const told = document.getElementById("told");
  function read() { told.hidden = true; }
  document.addEventListener("keydown", (event) => { if (event.key === "Escape") read(); });
  function tell(headline, lines) {
    const head = document.createElement("p"), list = document.createElement("ul"), ok = button("I have read it");
    head.className = "verdict";
    head.textContent = headline;
    list.replaceChildren(...lines.map((words) => { const item = document.createElement("li"); item.textContent = words; return item; }));
    ok.addEventListener("click", read);
    told.replaceChildren(head, list, ok);
    told.hidden = false;
  }
  function extract() {
    if (floor().extract === "on") begin({ kind: "extract_off", words: "The extract has been switched off", people: 1 });
    else begin({ kind: "extract_on", words: "The extract runs: a strip of paper is drawn in at the opening", people: 1 });
  }
  document.addEventListener("taps:answer", (event) => {
    const { tap, outcome, faults, say } = event.detail;
    if (outcome === "waits") { tell("Not on record yet: it is kept on this device, and told again by itself", faults); return; }
    for (const note of document.querySelectorAll(`[data-tap="${tap.id}"]`)) note.remove();
    if (outcome === "refused") {
      if (last && last.id === tap.id) undo.hidden = true;
      tell("Not noted", faults);
    } else if (outcome === "asks") tell("Noted, but it can't be so beside what was told before", faults);
    else if (say.length && say[0] !== "known already") tell("Noted", say);
  });

  function takeover(kind, more = "") {
    const words = document.querySelector(`template[data-danger-words="${kind}"]`);
    const over = document.getElementById("takeover");
    const read = button("Read: show the board");
    read.addEventListener("click", () => { over.hidden = true; });
    const said = document.createElement("p");
    said.textContent = more;
    over.replaceChildren(words.content.cloneNode(true), said, read);
    over.hidden = false;
    over.focus();
  }

  const MORE = {
    hot_press: (place, sheet, point) => [
      { kind: "heating_on", words: `Heaters of ${place} on${heated(place) ? " at another set-point" : ""}`, people: 1, skill: "hot_transfer", place, number: "set_point_C", unit: "°C", low: 50, high: 300, ...(point ? { offer: Number(point) } : {}) },
      { kind: "heating_off", words: `Heaters of ${place} off at the isolator`, people: 1, place },
      { kind: "platen_read", words: `Platens of ${place} read`, people: 1, place, number: "temperature_C", unit: "°C", low: 5, high: 300 },
      ...(sheet ? [{ kind: "breathed", words: `${sheet} breathed`, people: 1, place, sheet }] : []),
    ],
    cooling_press: (place) => [{ kind: "platen_read", words: `Plates of ${place} read`, people: 1, place, number: "temperature_C", unit: "°C", low: 5, high: 300 }],
  };
  const SCRAP = ["raw inside", "scorched", "spilled", "foreign matter", "other"];
  function heated(place) {
    const line = document.querySelector(`#floor [data-place="${CSS.escape(place)}"] .heat`);
    return line !== null && line.textContent.startsWith("heaters on");
  }

  function more({ more: place, kind, mould: sheet, point, other, otherWhy }) {
    const list = (MORE[kind] ? MORE[kind](place, sheet, point) : []);
    if (other) list.push({ ...JSON.parse(other), blocked: otherWhy });
    if (sheet) list.push({ kind: "scrapped", words: `${sheet} given up`, people: 1, sheet, whys: SCRAP });
    const panel = document.getElementById("people");
    panel.querySelector("h2").textContent = `More at ${place}`;
    document.getElementById("people-picks").replaceChildren(...list.map((one) => {
      const made = button(one.words);
      made.addEventListener("click", () => { panel.close(); begin(one); });
      return made;
    }));
    panel.showModal();
  }

  function whoIsHere() {
    const panel = document.getElementById("people");
    panel.querySelector("h2").textContent = "Who is here";
    document.getElementById("people-picks").replaceChildren(...people.map((one) => {
      const there = here().includes(one.id);
      const made = button(`${one.id} ${there ? "is here" : "is not here"}`, there);
      made.addEventListener("click", () => {
        panel.close();
        begin({ kind: there ? "left" : "arrived", words: `${one.id} ${there ? "leaves" : "is here"}`, chosen: [one.id] });
      });
      return made;
    }));
    panel.showModal();
  }

  // a wall shows the next two to load; all of them from a tap on, until the page is opened anew
  let allComing = false;
  function showAll() {
    const coming = document.querySelector("#floor .coming");
    if (coming && allComing) coming.dataset.all = "";
    document.querySelector('[data-panel="people"]').textContent = `People here: ${here().length}`;
  }
  document.addEventListener("floor:shown", showAll);

  document.addEventListener("click", (event) => {
    const step = event.target.closest(".do");
    if (step) {
      const what = JSON.parse(step.dataset.do);
      if (what.kind === "weighed") { weigh(what, step); return; }
      begin({ ...what, blocked: step.dataset.why || "" });
      return;
    }
    const wide = event.target.closest("[data-more]");
    if (wide) { more(wide.dataset); return; }
    const panel = event.target.closest("[data-panel]");
    if (panel) { if (panel.dataset.panel === "people") whoIsHere(); else if (panel.dataset.panel === "extract") extract(); else document.getElementById("danger").showModal(); return; }
    if (event.target.closest("[data-rest]")) { allComing = true; showAll(); return; }
    if (event.target.closest("[data-close]")) { event.target.closest("dialog").close(); return; }
    const danger = event.target.closest("[data-danger]");
    if (danger) {
      document.getElementById("danger").close();
      begin({ kind: danger.dataset.danger, words: danger.textContent.trim() });
      return;
    }
    const strike = event.target.closest("[data-strike]");
    if (strike) begin({ kind: "undone", words: "Take this telling back", people: 1, corrects: strike.dataset.strike });
  });

  function weigh(what, step) {
    const target = what.facts.target_kg;
    begin({ ...what, number: "mass_kg", unit: "kg", low: Number((target / 3).toFixed(2)), high: Number((target * 3).toFixed(2)), offer: target,
      perMm: Number(step.dataset.perMm) || 0, charge: Number(step.dataset.charge) || 0,
      tolerance: Number(step.dataset.tolerance) || 0, step: Number(step.dataset.step) || 0, blocked: step.dataset.why || "" });
  }
})();
flatstock.lifts = (document.getElementById("floor-lifts") ? document.getElementById("floor-lifts").dataset.lifts : "").split(" ").filter(Boolean);
