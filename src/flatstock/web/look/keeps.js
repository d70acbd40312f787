"use strict";
// A form that is noted without a network: kept on the device with its instant and an id of its own, sent once the
// server is there again. One that is refused then is kept too, and asked about.
(() => {
  const root = document.documentElement;
  const forms = [...document.querySelectorAll("form[data-keeps]")];
  const shown = document.getElementById("kept");

  function mark(form) {
    for (const [name, value] of [["told_id", flatstock.taps.id()], ["told_at", ""]]) {
      const field = form.querySelector(`input[name="${name}"]`) || document.createElement("input");
      field.type = "hidden";
      field.name = name;
      field.value = value;
      form.append(field);
    }
  }

  // the last sign of the server may be some seconds old: it is asked once more before a form is let go
  async function there() {
    if (root.dataset.away !== undefined) return false;
    const ends = new AbortController(), timer = setTimeout(() => ends.abort(), 3000);
    try {
      return (await fetch("/floor/alive", { credentials: "same-origin", cache: "no-store", signal: ends.signal })).ok;
    } catch { return false; } finally { clearTimeout(timer); }
  }

  // as the browser would have sent it, with the button that was tapped
  function leave(form, by) {
    if (by && by.name) {
      const said = document.createElement("input");
      Object.assign(said, { type: "hidden", name: by.name, value: by.value });
      said.dataset.tapped = "";
      form.append(said);
    }
    HTMLFormElement.prototype.submit.call(form);
  }

  for (const form of forms) {
    flatstock.time.told(Number(form.dataset.server));
    mark(form);
    form.addEventListener("submit", async (event) => {
      event.preventDefault();
      if (form.dataset.going !== undefined) return;
      form.dataset.going = "";
      form.querySelector('input[name="told_at"]').value = flatstock.time.stamp();
      const entries = [...new FormData(form, event.submitter)].filter(([name]) => name !== "token");
      if (await there()) { leave(form, event.submitter); return; }
      delete form.dataset.going;
      flatstock.taps.keepForm({ address: form.action, words: form.dataset.keeps, entries });
      const done = document.createElement("p");
      done.className = "lead unsent";
      done.textContent = `${form.dataset.keeps}: kept on this device, not sent yet. It goes out when the server is there again; leave this page open, or open the board on this device.`;
      // a page that more than one thing is told on stays, and its next telling is another one; a field called "before"
      // hides the form's own method
      if (form.dataset.keepsOn !== undefined) { Element.prototype.before.call(form, done); mark(form); } else form.replaceWith(done);
      done.scrollIntoView({ block: "center" });
    });
  }
  // what only the server can answer is not asked while it is away
  for (const [name, off] of [["line:lost", true], ["line:back", false]]) {
    document.addEventListener(name, () => { for (const one of document.querySelectorAll("[data-needs-line]")) one.disabled = off; });
  }
  addEventListener("pageshow", (event) => {
    if (!event.persisted) return;
    for (const form of forms) {
      mark(form);
      delete form.dataset.going;
      for (const said of form.querySelectorAll("[data-tapped]")) said.remove();
    }
  });

  function button(words, act) {
    const made = document.createElement("button");
    made.type = "button";
    made.textContent = words;
    made.addEventListener("click", act);
    return made;
  }

  // what waits, and what was refused when it was told
  function draw(waiting) {
    if (!shown) return;
    const rows = waiting.filter((one) => one.form).map((one) => {
      const row = document.createElement("li"), head = document.createElement("strong");
      head.textContent = one.form.words;
      row.append(head, one.form.faults ? " was not taken: " : " waits for the server.");
      if (one.form.faults) {
        row.append(one.form.faults.join(" "), document.createElement("br"),
          button("Send it again", () => flatstock.taps.again(one)), " ",
          button("Throw it away", () => { if (confirm(`${one.form.words}: throw it away?`)) flatstock.taps.forget(one); }));
      }
      return row;
    });
    shown.replaceChildren(...rows);
    shown.hidden = !rows.length;
  }
  document.addEventListener("forms:waiting", (event) => draw(event.detail));
  document.addEventListener("forms:sent", (event) => {
    const note = [...document.querySelectorAll("main .unsent")].find((one) => !one.dataset.sent && one.textContent.startsWith(`${event.detail.words}:`));
    if (!note) return;
    note.dataset.sent = "yes";
    const go = document.createElement("a");
    go.href = event.detail.next;
    go.textContent = "Go on";
    note.replaceChildren(`${event.detail.words}: sent. `, go);
  });
})();
