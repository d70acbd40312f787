"use strict";
// Taps are kept on the device before they are sent, and sent until the server has answered for each. Each has an
// id of its own from the start, so that one that is told twice is one.
flatstock.taps = (() => {
  const opened = new Promise((resolve) => {
    let asked;
    try { asked = indexedDB.open("flatstock", 1); } catch { resolve(null); return; }
    asked.onupgradeneeded = () => asked.result.createObjectStore("taps", { keyPath: "order", autoIncrement: true });
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => resolve(null);   // a private window: kept as long as the page is open
  });
  const spare = [];
  let sending = null; // what is under way, which whoever asks meanwhile waits for

  function id() {
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    return Array.from(bytes, (one) => one.toString(16).padStart(2, "0")).join("");
  }

  async function work(mode, what) {
    const db = await opened;
    if (!db) { const made = what(null); return made && "result" in made ? made.result : made; }
    return new Promise((resolve, reject) => {
      const step = db.transaction("taps", mode, { durability: "strict" });
      const asked = what(step.objectStore("taps"));
      step.oncomplete = () => resolve(asked ? asked.result : undefined);
      step.onerror = () => reject(step.error);
      step.onabort = () => reject(step.error);
    });
  }

  let spares = 0;
  const keep = (what) => work("readwrite", (store) => {
    if (store) return store.add(what);
    spare.push({ order: ++spares, ...what });
    return { result: spares };
  });
  const all = async () => (await work("readonly", (store) => (store ? store.getAll() : null))) || spare.slice();
  const put = (one) => work("readwrite", (store) => (store ? store.put(one) : void Object.assign(spare.find((two) => two.order === one.order), one)));
  const drop = (order) => work("readwrite", (store) => {
    if (store) return store.delete(order);
    spare.splice(spare.findIndex((one) => one.order === order), 1);
    return null;
  });

  const HELD = 60000; // ms for which another page leaves a form to the one that waits for its answer
  function held(one) {
    const left = one.form && one.form.until ? one.form.until - Date.now() : 0;
    return left > 0 && left <= HELD; // a clock that was set back holds nothing
  }

  const once = new Set();
  const REFUSED = {
    401: "this device is no longer paired: pair it again, and what it keeps is told then",
    403: "this device may not note this; a lead's or an operator's may",
    413: "the server can't read this tap",
    422: "the server can't read this tap",
  };

  function send() {
    sending = sending || sendAll();
    return sending;
  }

  async function sendAll() {
    try {
      for (;;) {
        const every = await all(), whole = every.filter((one) => !held(one)), next = whole.filter((one) => !(one.form && one.form.faults));
        flatstock.waiting = next.length + every.length - whole.length;
        document.dispatchEvent(new CustomEvent("taps:waiting", { detail: next }));
        document.dispatchEvent(new CustomEvent("forms:waiting", { detail: whole }));
        if (!next.length) return;
        if (next[0].form) { if (await sendForm(next[0])) continue; return; }
        const last = next.findIndex((one) => one.form);
        const waiting = next.slice(0, Math.min(100, last < 0 ? 100 : last)); // in the order in which they were noted
        const answer = await fetch("/floor/taps", {
          method: "POST", headers: { "content-type": "application/json", "x-token": flatstock.token() },
          body: JSON.stringify(waiting.map((one) => one.tap)), credentials: "same-origin",
        });
        if (answer.status === 422 && waiting.length > 1) { await oneByOne(waiting); continue; }
        if (!answer.ok) {
          const says = answer.status === 503 ? (await answer.json().catch(() => ({}))).faults || [] : [];
          const say = says.length ? "" : REFUSED[answer.status] || `the server answered ${answer.status}`;
          const waits = answer.status !== 422; // kept on this device, and told once that is mended
          if (answer.status === 422) await drop(waiting[0].order);
          if (once.has(waiting[0].tap.id)) return; // it is tried again every few seconds, and said once
          once.add(waiting[0].tap.id);
          document.dispatchEvent(new CustomEvent("taps:answer", { detail: { tap: waiting[0].tap, outcome: waits ? "waits" : "refused", faults: say ? [say] : says, say: [] } }));
          return;
        }
        const said = await answer.json();
        for (const [n, one] of said.entries()) {
          await drop(waiting[n].order);
          document.dispatchEvent(new CustomEvent("taps:answer", { detail: { tap: waiting[n].tap, ...one } }));
        }
        document.dispatchEvent(new CustomEvent("floor:ask"));
      }
    } catch {
      document.dispatchEvent(new CustomEvent("line:gone")); // kept; sent when the server is there again
    } finally {
      sending = null;
    }
  }

  function post(form) {
    const body = new FormData();
    for (const [name, value] of form.entries) body.append(name, value);
    body.set("token", flatstock.token());
    return fetch(form.address, {
      method: "POST", body, headers: { "x-token": flatstock.token(), "x-kept": "1" }, credentials: "same-origin",
    });
  }

  function sent(form, answer) {
    const next = answer.headers.get("x-next") || "/";
    document.dispatchEvent(new CustomEvent("forms:sent", { detail: { words: form.words, next } }));
    document.dispatchEvent(new CustomEvent("floor:ask"));
    return next;
  }

  // a device that is no longer paired is sent to the pairing page, or told so; one that may not is told why
  const unpaired = (answer) => answer.status === 401 || (answer.redirected && new URL(answer.url).pathname === "/pair");
  const barred = (answer) => unpaired(answer) || answer.status === 403;

  // whether the server has answered for it; a refused one stays, with why, until somebody decides
  async function sendForm(one) {
    const answer = await post(one.form);
    if (answer.status === 204) { await drop(one.order); sent(one.form, answer); return true; }
    if (answer.status >= 500) return false;
    await put({ order: one.order, form: { ...one.form, faults: await said(answer) } });
    return true;
  }

  async function said(answer) {
    if (unpaired(answer)) return [`${REFUSED[401]}.`];
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const faults = [...page.querySelectorAll(".refusal li")].map((line) => line.textContent.trim());
    return faults.length ? faults : [`The server answered ${answer.status}.`];
  }

  // A form whose page waits for the answer is kept first, so that nothing that happens to the page or the server loses
  // it, and told by this page alone meanwhile. Where it is kept; null: this device has no room for it.
  const hold = (form) => keep({ form: { ...form, until: Date.now() + HELD } }).catch(() => null);

  // Tell it. What became of it: the next page; "page", where the server has one to show instead; whether it is "kept",
  // with why. `waits`: whether its page is still there to show one.
  async function tell(form, order, waits) {
    async function stays(why, faults) {
      if (order !== null) await put({ order, form: faults ? { ...form, faults } : form });
      send();
      return { kept: order !== null, why, refused: Boolean(faults) };
    }
    await send(); // what was noted before goes first
    let answer;
    try { answer = await post(form); } catch {
      document.dispatchEvent(new CustomEvent("line:gone"));
      return stays();
    }
    if (answer.status >= 500) return stays(`the server answered ${answer.status}`);
    if (answer.status === 204) {
      if (order !== null) await drop(order);
      return { next: sent(form, answer) };
    }
    if (barred(answer) || !waits()) {
      const faults = await said(answer);
      return stays(faults.join(" "), faults);
    }
    if (order !== null) await drop(order);
    return { page: true };
  }

  // one that can't be read must not keep the others back
  async function oneByOne(waiting) {
    for (const one of waiting) {
      const answer = await fetch("/floor/taps", {
        method: "POST", headers: { "content-type": "application/json", "x-token": flatstock.token() },
        body: JSON.stringify([one.tap]), credentials: "same-origin",
      });
      if (answer.ok || answer.status === 422) await drop(one.order);
      if (answer.ok) document.dispatchEvent(new CustomEvent("taps:answer", { detail: { tap: one.tap, ...(await answer.json())[0] } }));
    }
  }

  async function tap(event) {
    const at = flatstock.time.stamp();
    const whole = { id: id(), at, noted_at: at, who: [], facts: {}, device: flatstock.device(), ...event };
    await keep({ tap: whole });
    send();
    return whole;
  }

  const keepForm = async (form) => { await keep({ form }); send(); };
  const again = async (one) => { const { faults, ...form } = one.form; await put({ ...one, form }); send(); };
  const forget = async (one) => { await drop(one.order); send(); };

  document.addEventListener("line:back", send);
  setInterval(() => { if (flatstock.waiting) send(); }, 4000);
  // an answer is said once: not before every script of the page is there to hear it
  document.addEventListener("DOMContentLoaded", send);
  return { tap, send, id, keepForm, hold, tell, again, forget };
})();
flatstock.token = () => document.documentElement.dataset.token || "";
flatstock.device = () => document.documentElement.dataset.device || null;
