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
  let sending = false;

  function id() {
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    return Array.from(bytes, (one) => one.toString(16).padStart(2, "0")).join("");
  }

  async function work(mode, what) {
    const db = await opened;
    if (!db) return what(null);
    return new Promise((resolve, reject) => {
      const step = db.transaction("taps", mode, { durability: "strict" });
      const asked = what(step.objectStore("taps"));
      step.oncomplete = () => resolve(asked ? asked.result : undefined);
      step.onerror = () => reject(step.error);
      step.onabort = () => reject(step.error);
    });
  }

  const keep = (what) => work("readwrite", (store) => (store ? store.add(what) : void spare.push({ order: spare.length + 1, ...what })));
  const all = async () => (await work("readonly", (store) => (store ? store.getAll() : null))) || spare.slice();
  const put = (one) => work("readwrite", (store) => (store ? store.put(one) : void Object.assign(spare.find((two) => two.order === one.order), one)));
  const drop = (order) => work("readwrite", (store) => {
    if (store) return store.delete(order);
    spare.splice(spare.findIndex((one) => one.order === order), 1);
    return null;
  });

  const once = new Set();
  const REFUSED = {
    401: "this device is no longer paired: pair it again, and what it keeps is told then",
    403: "this device may not note this; a lead's or an operator's may",
    413: "the server can't read this tap",
    422: "the server can't read this tap",
  };

  async function send() {
    if (sending) return;
    sending = true;
    try {
      for (;;) {
        const whole = await all(), next = whole.filter((one) => !(one.form && one.form.faults));
        flatstock.waiting = next.length;
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
      sending = false;
    }
  }

  // whether the server has answered for it; a refused one stays, with why, until somebody decides
  async function sendForm(one) {
    const body = new FormData();
    for (const [name, value] of one.form.entries) body.append(name, value);
    body.set("token", flatstock.token());
    const answer = await fetch(one.form.address, {
      method: "POST", body, headers: { "x-token": flatstock.token(), "x-kept": "1" }, credentials: "same-origin",
    });
    if (answer.status === 204) {
      await drop(one.order);
      document.dispatchEvent(new CustomEvent("forms:sent", { detail: { words: one.form.words, next: answer.headers.get("x-next") || "/" } }));
      document.dispatchEvent(new CustomEvent("floor:ask"));
      return true;
    }
    if (answer.status >= 500) return false;
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const faults = [...page.querySelectorAll(".refusal li")].map((line) => line.textContent.trim());
    await put({ ...one, form: { ...one.form, faults: faults.length ? faults : [`The server answered ${answer.status}.`] } });
    return true;
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
  send();
  return { tap, send, id, keepForm, again, forget };
})();
flatstock.token = () => document.documentElement.dataset.token || "";
flatstock.device = () => document.documentElement.dataset.device || null;
