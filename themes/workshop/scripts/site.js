/* On every page: shows what needs a script, and ties each zone's number to its shape and its line. */
(function () {
  "use strict";
  document.documentElement.classList.add("scripted");

  const twins = document.querySelectorAll("[data-zone]");
  function mark(zone, on) {
    for (const one of twins) if (one.dataset.zone === zone) one.classList.toggle("on", on);
  }
  for (const one of twins) {
    if (one.localName !== "a") continue;
    for (const [event, on] of [["focus", true], ["blur", false], ["mouseenter", true], ["mouseleave", false]])
      one.addEventListener(event, () => mark(one.dataset.zone, on));
  }

  /* Arrow keys walk from number to number of a drawing, in the order of the zones. */
  for (const drawing of document.querySelectorAll("[data-arrangement]")) {
    const stops = Array.from(drawing.querySelectorAll("a.balloon:not([tabindex])"))
      .sort((a, b) => a.dataset.zone.localeCompare(b.dataset.zone));
    drawing.addEventListener("keydown", (event) => {
      const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
      const place = stops.indexOf(document.activeElement);
      if (!step || place < 0) return;
      event.preventDefault();
      stops[(place + step + stops.length) % stops.length].focus();
    });
  }
})();
