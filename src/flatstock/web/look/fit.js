"use strict";
// On a wall nothing is scrolled to: where a tile would end below the screen, one thing after another gives way until
// none does. What each of the words stands for is said in wall.css.
(() => {
  const WALL = matchMedia("(min-width: 100rem)");
  // what is missed least comes first
  const MACHINES = ["digits", "brief"], PILES = ["one", "rows", "side", "lower", "beside"];
  const body = document.body;

  function give(words) {
    const said = words.join(" ");
    if (body.dataset.tight !== said) body.dataset.tight = said;
  }

  function fits(names, words) {
    give(words);
    return [...document.querySelectorAll(names)].every((one) => one.getBoundingClientRect().bottom + scrollY <= innerHeight);
  }

  // the least that has to give way beside what has already; all of it where that is not enough
  function least(names, already, gives, ways) {
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

  function fit() { give(WALL.matches && document.querySelector("#floor .places") ? fitting() : []); }

  fit();
  document.addEventListener("floor:shown", fit);
  document.addEventListener("floor:turned", fit);
  document.fonts.ready.then(fit);
  addEventListener("resize", fit);
  new ResizeObserver(() => requestAnimationFrame(fit)).observe(body); // digits that grow, a list that is opened
})();
