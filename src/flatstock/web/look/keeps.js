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

  for (const form of forms) {
    flatstock.time.told(Number(form.dataset.server));
    mark(form);
    form.addEventListener("submit", (event) => {
      form.querySelector('input[name="told_at"]').value = flatstock.time.stamp();
      if (root.dataset.away === undefined) return;
      event.preventDefault();
      const entries = [...new FormData(form, event.submitter)].filter(([name]) => name !== "token");
      flatstock.taps.keepForm({ address: form.action, words: form.dataset.keeps, entries });
      const done = document.createElement("p");
      done.className = "lead unsent";
      done.textContent = `${form.dataset.keeps}: kept on this device, not sent yet. It goes out when the server is there again; leave this page open, or open the board on this device.`;
      form.replaceWith(done);
      done.scrollIntoView({ block: "center" });
    });
  }
  addEventListener("pageshow", (event) => { if (event.persisted) forms.forEach(mark); });

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
    const note = document.querySelector("main .unsent");
    if (!note || !note.textContent.startsWith(event.detail.words)) return;
    const go = document.createElement("a");
    go.href = event.detail.next;
    go.textContent = "Go on";
    note.replaceChildren(`${event.detail.words}: sent. `, go);
  });
})();
