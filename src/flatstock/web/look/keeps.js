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

  const SLOW = 1000; // ms after which a page says that it waits

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

  function note(form, words) {
    const said = document.createElement("p");
    said.className = "lead unsent";
    said.setAttribute("role", "status");
    said.textContent = words;
    // a field called "before" hides the form's own method
    Element.prototype.before.call(form, said);
    said.scrollIntoView({ block: "center" });
    return said;
  }

  // a page that more than one thing is told on stays, and its next telling is another one
  function stays(form, why, refused) {
    delete form.dataset.going;
    note(form, refused
      ? `${form.dataset.keeps}: not taken, and kept on this device: ${why} It is sent again, or thrown away, at the top of this page.`
      : `${form.dataset.keeps}: kept on this device, not sent yet${why ? `: ${why}` : ""}. It goes out when the server is there again; leave this page open, or open the board on this device.`);
    if (form.dataset.keepsOn !== undefined) mark(form); else form.remove();
  }

  function goOn(next) {
    const to = new URL(next, location.href);
    if (to.hash && to.pathname + to.search === location.pathname + location.search) {
      history.replaceState(null, "", to.hash);
      location.reload();
    } else location.assign(to);
  }

  // told while its page waits; the page goes on by itself when the server has answered, however long that takes
  async function tell(form, by, told) {
    let waits = true, slowly = null;
    const slow = setTimeout(() => { slowly = note(form, `${form.dataset.keeps}: on its way, the server has not answered yet. It is kept on this device until then; nothing has to be tapped again.`); }, SLOW);
    const order = await flatstock.taps.hold(told);
    const gone = new Promise((resolve) => document.addEventListener("line:lost", () => resolve({ kept: order !== null }), { once: true }));
    const became = await Promise.race([flatstock.taps.tell(told, order, () => waits), gone]);
    waits = false;
    clearTimeout(slow);
    if (slowly) slowly.remove();
    if (became.next) goOn(became.next);
    else if (became.page) leave(form, by);
    else if (became.kept) stays(form, became.why, became.refused);
    else {
      delete form.dataset.going;
      note(form, `${form.dataset.keeps}: not sent, and this device has no room to keep it. It stands here as long as this page is open: make room, and tap again.`);
    }
  }

  for (const form of forms) {
    flatstock.time.told(Number(form.dataset.server));
    mark(form);
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      if (form.dataset.going !== undefined) return;
      form.dataset.going = "";
      form.querySelector('input[name="told_at"]').value = flatstock.time.stamp();
      const by = event.submitter;
      if (by && by.dataset.needsLine !== undefined) { leave(form, by); return; }
      const entries = [...new FormData(form, by)].filter(([name]) => name !== "token");
      const told = { address: form.action, words: form.dataset.keeps, entries };
      if (root.dataset.away === undefined) { tell(form, by, told); return; }
      flatstock.taps.keepForm(told);
      stays(form);
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
