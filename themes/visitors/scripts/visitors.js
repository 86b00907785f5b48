// How much to read, and the kiosk's return to the start. Without this script everything is shown.
(function () {
  "use strict";
  var IDLE_MS = 90000;
  var root = document.documentElement;
  var body = document.body;

  // What is kept lasts as long as the tab; where the browser keeps nothing, nothing is lost.
  function keep(key, value) {
    try { window.sessionStorage.setItem(key, value); } catch (error) { return; }
  }
  function kept(key) {
    try { return window.sessionStorage.getItem(key); } catch (error) { return null; }
  }

  var group = document.querySelector(".level");
  function show(level) {
    root.dataset.level = level;
    group.querySelectorAll("button").forEach(function (button) {
      button.setAttribute("aria-pressed", String(button.dataset.level === level));
    });
  }
  group.hidden = false;
  show(kept("level") === "plain" ? "plain" : "deep");
  group.addEventListener("click", function (event) {
    var button = event.target.closest("button");
    if (button) { show(button.dataset.level); keep("level", button.dataset.level); }
  });

  if (body.dataset.kiosk === "start") {
    var asked = Number(new URLSearchParams(window.location.search).get("idle"));
    keep("kiosk", String(asked > 0 ? asked * 1000 : IDLE_MS));
  }
  var idle = Number(kept("kiosk"));
  if (!(idle > 0)) { return; }
  root.dataset.kiosk = "on";
  // A kiosk has no way out: links that leave the folder lead nowhere.
  document.querySelectorAll("a.leaves").forEach(function (link) { link.removeAttribute("href"); });
  var timer;
  function wait() {
    window.clearTimeout(timer);
    timer = window.setTimeout(function () {
      keep("level", "plain");
      window.location.href = body.dataset.start;
    }, idle);
  }
  ["pointerdown", "pointermove", "keydown", "scroll", "touchstart"].forEach(function (kind) {
    window.addEventListener(kind, wait, { passive: true });
  });
  wait();
})();
