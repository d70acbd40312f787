"use strict";
// On a wall nothing is scrolled to: where a tile would end below the screen, one thing after another gives way until
// none does. What each of the words stands for is said in wall.css.
(() => {
  const WALL = matchMedia("(min-width: 100rem)");
  // what is missed least comes first
  const MACHINES = ["digits", "brief"], PILES = ["one", "rows", "side", "lower", "beside"];
  const FAR = 2.6; // rem: lower than this is not read from four metres, as wall.css says
  const body = document.body;

  function give(words) {
    const said = words.join(" ");
    if (body.dataset.tight !== said) body.dataset.tight = said;
  }

  function fits(names, words) {
    give(words);
    return [...document.querySelectorAll(names)].every((one) => one.getBoundingClientRect().bottom + scrollY <= innerHeight);
  }

  // the least that has to give way beside what has already; all of it where that is not enough, which is asked first
  // where nothing is: each question is a layout of the page
  function least(names, already, gives, ways) {
    const enough = (many) => ways.some((way) => fits(names, [...already, ...way, ...gives.slice(0, many)]));
    if (!enough(0) && !enough(gives.length)) return [false, gives];
    for (let many = 0; many <= gives.length; many += 1) {
      for (const way of ways) {
        let words = [...way, ...gives.slice(0, many)];
        if (!fits(names, [...already, ...words])) continue;
        // what has not helped comes back, the most missed first
        for (const word of words.slice(0, -1).reverse()) {
          const fewer = words.filter((one) => one !== word);
          if (fits(names, [...already, ...fewer])) words = fewer;
        }
        return [true, words];
      }
    }
    return [false, gives];
  }

  function fitting() {
    let words = [];
    for (const [already, close, small] of [[[], [], []], [["head"], [], []], [["head"], ["terse", "close"], ["small"]], [["head", "once"], ["terse", "close"], ["small"]]]) {
      const [machines, high] = least("#floor .machines .tile", already, [...MACHINES, ...close], [[]]);
      // whoever has asked for all that is to be loaded scrolls
      const [piles, beside] = least("#floor .pile-tile, #floor .coming:not([data-all])", [...already, ...high], [...PILES, ...small], [[], ["under"]]);
      words = [...already, ...high, ...beside];
      if (machines && piles) break;
    }
    return words;
  }

  // a call is said whole: in two lines where one is too short for it, lower where two are
  function calls() {
    for (const call of document.querySelectorAll("#floor .calling")) {
      for (const rem of [4.15, 3.6, 3.1, FAR]) {
        call.style.setProperty("--call", `${rem}rem`);
        const style = getComputedStyle(call);
        const room = call.clientHeight - parseFloat(style.paddingTop) - parseFloat(style.paddingBottom);
        if (room < 2.5 * parseFloat(style.lineHeight)) break;
      }
    }
  }

  // names of moulds in piles that had to give way take the height that is left over, up to what gave way first
  const TALLEST = 3.2, LOWEST = 1.7; // rem, as wall.css has "lower" and "small"
  // a name and what is in its mould keep to their row, the second beside the first in a line or two
  function whole(row) {
    const edges = row.getBoundingClientRect(), name = row.querySelector("strong"), of = row.querySelector(".of");
    return [name, of].every((one) => one.getBoundingClientRect().right <= edges.right + 1 && one.scrollWidth <= one.clientWidth + 1)
      && of.offsetHeight <= name.offsetHeight;
  }
  function grown(words) {
    if (!["lower", "beside", "small"].some((word) => words.includes(word))) return words;
    const others = words.filter((word) => word !== "under");
    let best = 0, chosen = words;
    const more = [[], ["under"], ["one", "side", "beside"], ["under", "one", "side", "digits", "brief"]];
    const rows = others.filter((word) => word !== "beside"); // a pile's step below its names leaves them the width
    // what is to be loaded gives way to them only where they could be read from near alone
    const near = [...more.map((one) => [...others, ...one]), [...rows, ...more[more.length - 1]]];
    const ways = words.includes("small") ? near : [[...others, "under"], [...rows, "side", "lower"], [...rows, "side", "lower", "under"]];
    // the tallest names that find room, to a tenth of a rem, by halves; none where one a tenth taller than the best
    // so far does not
    function take(tried) {
      const room = (tenths) => {
        body.style.setProperty("--names", `${tenths / 10}rem`);
        return fits("#floor .tile:not(.coming[data-all])", tried)
          && [...document.querySelectorAll("#floor .pile-tile .layers li")].every(whole);
      };
      let low = Math.round(10 * Math.max(best, LOWEST)) + 1, high = Math.round(10 * TALLEST);
      if (low > high || !room(low)) return;
      while (low < high) {
        const middle = Math.ceil((low + high) / 2);
        if (room(middle)) low = middle;
        else high = middle - 1;
      }
      [best, chosen] = [low / 10, tried];
    }
    const once = (one) => [...new Set(one)];
    for (const tried of [words, ...ways.map(once)]) take(tried);
    // what to wait for, and what is in the machines, give way only to names that would not be read from afar at all
    for (const fewer of [[], ["head"], ["head", "once"], ["head", "once", "terse"], ["head", "once", "terse", "close"]]) {
      for (const tried of near.slice(1)) if (best < FAR) take(once([...tried, ...fewer, "small"]));
    }
    if (best) body.style.setProperty("--names", `${best}rem`);
    else body.style.removeProperty("--names");
    return chosen;
  }

  function fit() {
    body.style.removeProperty("--names");
    if (WALL.matches) calls();
    give(WALL.matches && document.querySelector("#floor .places") ? grown(fitting()) : []);
  }

  fit();
  document.addEventListener("floor:shown", fit);
  document.addEventListener("floor:turned", fit);
  document.fonts.ready.then(fit);
  addEventListener("resize", fit);
  new ResizeObserver(() => requestAnimationFrame(fit)).observe(body); // digits that grow, a list that is opened
})();
