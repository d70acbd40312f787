"use strict";
// The start checks on the board itself: the day's first heaters wait for them, with or without a network.
(() => {
  const dialog = document.getElementById("checks");
  const lines = [...dialog.querySelectorAll("[data-line]")];
  const people = document.getElementById("checks-people"), say = document.getElementById("checks-say");
  const done = document.getElementById("checks-done"), wrong = document.getElementById("checks-wrong");
  let by = null, then = null;

  const floor = () => document.getElementById("floor").dataset;
  const seen = (line) => line.getAttribute("aria-pressed") === "true";

  function draw() { flatstock.keeping(drawAll); }

  const everybody = JSON.parse(document.getElementById("people-data").content.textContent);
  const here = () => (floor().here || "").split(" ").filter(Boolean);

  // who is not here by the shop's hours may have come all the same, and says so where it is asked
  function came(id) {
    const made = document.createElement("button");
    made.type = "button";
    made.textContent = `${id} has come`;
    made.addEventListener("click", async () => {
      await flatstock.taps.tap({ kind: "arrived", who: [id] });
      if (!here().includes(id)) floor().here = [...here(), id].join(" "); // until the server says so itself
      by = id;
      draw();
    });
    return made;
  }

  function drawAll() {
    const left = lines.filter((line) => !seen(line)).length;
    people.replaceChildren(...here().map((id) => {
      const made = document.createElement("button");
      made.type = "button";
      made.textContent = id;
      made.setAttribute("aria-pressed", String(by === id));
      made.addEventListener("click", () => { by = id; draw(); });
      return made;
    }), ...everybody.filter((one) => !here().includes(one.id)).map((one) => came(one.id)));
    say.textContent = left ? `${left} line${left === 1 ? "" : "s"} not looked at` : by ? "" : "who has looked?";
    done.disabled = left > 0 || !by;
    wrong.disabled = left === 0 || !by;
  }

  async function sign(facts) {
    const next = then;
    dialog.close();
    floor().checked = facts.wrong ? "wrong" : "yes"; // until the server says so itself
    await flatstock.taps.tap({ kind: "checked", who: [by], facts });
    if (!facts.wrong && next) next();
  }

  for (const line of lines) line.addEventListener("click", () => { line.setAttribute("aria-pressed", String(!seen(line))); draw(); });
  done.addEventListener("click", () => sign({ list: "start" }));
  wrong.addEventListener("click", () => sign({ list: "start", wrong: lines.filter((line) => !seen(line)).map((line) => line.dataset.line).join(" ") }));
  document.getElementById("checks-close").addEventListener("click", () => dialog.close());

  // `after`: what was to be done and is held until they are signed
  flatstock.startChecks = (after) => {
    by = null;
    then = after || null;
    for (const line of lines) line.setAttribute("aria-pressed", "false");
    draw();
    dialog.showModal();
  };
  // the page of the same name can't be fetched without a network
  document.addEventListener("click", (event) => {
    const link = event.target.closest('a[href="/checks/start"]');
    if (link && flatstock.gone) { event.preventDefault(); flatstock.startChecks(); }
  });
})();
