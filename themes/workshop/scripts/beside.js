/* Two related pictures: side by side, one after the other, or one drawn over the other. */
(function () {
  "use strict";
  const EACH_MS = 700;

  for (const box of document.querySelectorAll("[data-beside]")) {
    const second = box.querySelector(".second");
    const slider = box.querySelector("[data-swipe]");
    const label = box.querySelector(".swipe");
    const buttons = box.querySelectorAll("[data-mode]");
    let clock = 0;

    function swipe() {
      second.style.clipPath = `inset(0 ${100 - slider.value}% 0 0)`;
    }
    function show(mode) {
      window.clearInterval(clock);
      clock = 0;
      box.dataset.shows = mode;
      second.style.clipPath = "";
      second.classList.remove("away");
      label.hidden = mode !== "swipe";
      for (const one of buttons) one.setAttribute("aria-pressed", String(one.dataset.mode === mode));
      if (mode === "swipe") swipe();
      /* Movement only while somebody asks for it, and slower than what may harm. */
      if (mode === "blink") clock = window.setInterval(() => second.classList.toggle("away"), EACH_MS);
    }
    for (const one of buttons)
      one.addEventListener("click", () => show(box.dataset.shows === "blink" && one.dataset.mode === "blink" ? "apart" : one.dataset.mode));
    slider.addEventListener("input", swipe);
    box.addEventListener("keydown", (event) => {
      if (event.key === "Escape") show("apart");
    });
    box.querySelector("[data-beside-controls]").hidden = false;
    box.dataset.shows = "apart";
  }
})();
