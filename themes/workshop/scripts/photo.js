/* A photograph's page: tone by steps, regions tied to their numbers and lines, and a closer look. */
(function () {
  "use strict";
  const stage = document.querySelector("[data-stage]");
  if (!stage) return;

  const tones = document.querySelector("[data-tones]");
  if (tones) {
    tones.hidden = false;
    for (const slider of tones.querySelectorAll("[data-tone]"))
      slider.addEventListener("input", () => { stage.dataset[slider.dataset.tone] = slider.value; });
  }

  function mark(region, on) {
    for (const one of document.querySelectorAll("[data-region]"))
      if (one.dataset.region === region) one.classList.toggle("on", on);
  }
  for (const one of document.querySelectorAll("a.number, .region-list > li"))
    for (const [event, on] of [["focusin", true], ["focusout", false], ["mouseenter", true], ["mouseleave", false]])
      one.addEventListener(event, () => mark(one.dataset.region, on));

  /* The closer look: tiles beside the page, put together on a canvas. */
  const button = document.querySelector("[data-zoom]");
  if (!button || !stage.dataset.tiles) return;
  const flip = document.getElementById("_flip");
  const given = (name) => Number(stage.dataset[name]);
  let viewer = null, closer = null;

  /* The library puts a style of its own into the page, which the page's policy refuses; it doesn't
     where it finds one there, so it finds an element of that name that is no style. */
  function forestall() {
    const stand = document.createElementNS("urn:none", "style");
    stand.setAttribute("data-openseadragon-mobile-css", "");
    document.head.append(stand);
  }

  function open() {
    closer = document.createElement("div");
    closer.className = "closer";
    stage.append(closer);
    stage.classList.add("zoomed");
    viewer = window.OpenSeadragon({
      element: closer,
      drawer: "canvas",
      showNavigationControl: false,
      animationTime: 0,
      immediateRender: true,
      gestureSettingsMouse: { clickToZoom: true },
      tileSources: {
        width: given("width"), height: given("height"),
        tileSize: given("tile"), tileOverlap: given("overlap"),
        minLevel: given("least"), maxLevel: given("most"),
        getTileUrl: (level, x, y) => `${stage.dataset.tiles}/${level}/${x}_${y}.jpg`,
      },
    });
    const outlines = stage.querySelector(".print .outlines");
    if (outlines) {
      const copy = outlines.cloneNode(true);
      copy.classList.add("marks");
      const high = given("height") / given("width");
      viewer.addHandler("open", () => viewer.addOverlay({ element: copy, location: new window.OpenSeadragon.Rect(0, 0, 1, high) }));
    }
    if (flip) viewer.viewport.setFlip(flip.checked);
    viewer.canvas.setAttribute("aria-label", "The picture, close: arrow keys move it, plus and minus change its size");
    viewer.canvas.focus();
    button.textContent = "Whole picture";
  }

  function close() {
    viewer.destroy();
    closer.remove();
    viewer = closer = null;
    stage.classList.remove("zoomed");
    button.textContent = "Look closer";
  }

  button.hidden = false;
  button.addEventListener("click", () => {
    if (viewer) return close();
    if (window.OpenSeadragon) return open();
    forestall();
    const script = document.createElement("script");
    script.src = stage.dataset.library;
    script.addEventListener("load", open);
    button.disabled = true;
    script.addEventListener("load", () => { button.disabled = false; });
    document.head.append(script);
  });
  if (flip) flip.addEventListener("change", () => { if (viewer) viewer.viewport.setFlip(flip.checked); });
})();
