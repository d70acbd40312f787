"use strict";
// On a phone what stands where comes first: the pages and what is seldom tapped are behind one button.
(() => {
  const more = document.getElementById("bar-more");
  more.addEventListener("click", () => more.setAttribute("aria-expanded", String(document.body.classList.toggle("opened"))));
})();
