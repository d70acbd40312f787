"use strict";
// What every page needs of a script; each page also answers without one.
document.documentElement.classList.add("scripted");

// a dial: step buttons, a slider and the number itself say the same
function dialOf(inside) {
  const dial = inside.closest("[data-dial]");
  if (!dial) return null;
  return { number: dial.querySelector("input:not([type=range])"), slider: dial.querySelector("input[type=range]") };
}

function numberOf(text) {
  const said = String(text).trim().replace(",", ".");
  return said === "" ? NaN : Number(said);
}

// a number with three decimals could be read as thousands where a comma is typed: it keeps its point
function inMark(said) {
  const comma = document.documentElement.dataset.mark === "comma" && (said.split(".")[1] || "").length !== 3;
  return comma ? said.replace(".", ",") : said;
}

function turn(dial, value) {
  const low = Number(dial.slider.min), high = Number(dial.slider.max);
  const held = Math.min(high, Math.max(low, value));
  dial.number.value = inMark(String(Number(held.toFixed(4))));
  dial.slider.value = String(held);
  dial.number.dispatchEvent(new Event("input", { bubbles: true }));
}

document.addEventListener("click", (event) => {
  if (event.target.closest("[data-print]")) { print(); return; }
  const button = event.target.closest("[data-by], [data-to]");
  if (button) {
    const dial = dialOf(button);
    if (!dial) return;
    if (button.dataset.to === "") {
      dial.number.value = "";
      dial.number.dispatchEvent(new Event("input", { bubbles: true }));
    } else if (button.dataset.to !== undefined) turn(dial, Number(button.dataset.to));
    else {
      const now = numberOf(dial.number.value);
      turn(dial, (Number.isFinite(now) ? now : Number(dial.slider.value)) + Number(button.dataset.by));
    }
    return;
  }
  const why = event.target.closest("a.why");
  if (why) {
    const reason = document.getElementById(why.hash.slice(1));
    if (reason) reason.open = true;
  }
});

document.addEventListener("input", (event) => {
  const field = event.target;
  const dial = dialOf(field);
  if (!dial) return;
  if (field === dial.slider) {
    dial.number.value = inMark(field.value);
    dial.number.dispatchEvent(new Event("input", { bubbles: true }));
    event.stopPropagation();
  } else {
    const value = numberOf(field.value);
    if (Number.isFinite(value)) dial.slider.value = String(value);
  }
}, true);

// another plastic has other set-points and lots: the whole page is asked for again
document.addEventListener("change", (event) => {
  const field = event.target;
  if (!field.matches("[data-reload]")) return;
  event.stopPropagation();
  const form = field.form;
  const words = new URLSearchParams();
  for (const [name, value] of new FormData(form)) {
    if (value && name !== "set_point" && name !== "lot" && name !== "order") words.set(name, value);
  }
  location.assign(`${form.getAttribute("action")}?${words}`);
}, true);

if (location.hash.startsWith("#why-")) {
  const reason = document.getElementById(location.hash.slice(1));
  if (reason) reason.open = true;
}

// what is wider than the screen can be reached by keyboard too
function reachable() {
  for (const wide of document.querySelectorAll(".wide, .drawing")) {
    if (wide.scrollWidth > wide.clientWidth) wide.tabIndex = 0;
    else wide.removeAttribute("tabindex");
  }
}
reachable();
addEventListener("resize", reachable);
document.addEventListener("htmx:afterSettle", reachable);

// other units: the questions are asked again in them
document.addEventListener("change", (event) => {
  if (event.target.dataset && event.target.dataset.go) location.assign(event.target.dataset.go);
});
