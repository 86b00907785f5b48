/* A picture to pick on: moved, made larger, read to a tenth of a pixel, by mouse, finger or keys. */
(function () {
  "use strict";
  const LOUPE = 6, FINEST = 24;

  /* `told` is called with the place (pixels of the whole file) whenever a point is put or moved. */
  window.benchPicture = function (canvas, loupe, told) {
    let photo = null, points = [], active = "", cursor = null, plain = null;
    let view = { x: 0, y: 0, scale: 1 };
    const tiles = new Map();

    const ready = (image) => image && image.complete && image.naturalWidth > 0;
    const width = () => canvas.clientWidth, height = () => canvas.clientHeight;
    const whole = () => Math.min(width() / photo.width, height() / photo.height);
    const placed = () => points.find((point) => point.name === active && point.at);

    function load(source) {
      const image = new Image();
      image.addEventListener("load", draw);
      image.src = source;
      return image;
    }

    function open(next) {
      photo = next;
      tiles.clear();
      plain = load(photo.src);
      cursor = [photo.width / 2, photo.height / 2];
      fit();
    }

    function fit() {
      view.scale = whole();
      view.x = (photo.width - width() / view.scale) / 2;
      view.y = (photo.height - height() / view.scale) / 2;
      draw();
    }

    function tile(level, column, row) {
      const key = `${level}/${column}_${row}`;
      if (!tiles.has(key)) tiles.set(key, load(`${photo.tiles.folder}/${key}.jpg`));
      return tiles.get(key);
    }

    /* Paints the part of the picture that begins at (x, y), `scale` screen pixels to one of its own. */
    function paint(pen, x, y, scale, wide, high, dense) {
      pen.imageSmoothingEnabled = scale < 3;
      if (ready(plain)) pen.drawImage(plain, -x * scale, -y * scale, photo.width * scale, photo.height * scale);
      if (!photo.tiles) return;
      const { size, overlap, most } = photo.tiles;
      const level = Math.max(0, Math.min(most, most + Math.ceil(Math.log2(scale * dense))));
      const factor = 2 ** (most - level), side = size * factor;
      const last = [Math.ceil(photo.width / side), Math.ceil(photo.height / side)];
      for (let c = Math.max(0, Math.floor(x / side)); c < Math.min(last[0], (x + wide / scale) / side); c += 1)
        for (let r = Math.max(0, Math.floor(y / side)); r < Math.min(last[1], (y + high / scale) / side); r += 1) {
          const image = tile(level, c, r);
          if (!ready(image)) continue;
          const left = c * size - (c ? overlap : 0), top = r * size - (r ? overlap : 0);
          pen.drawImage(image, (left * factor - x) * scale, (top * factor - y) * scale,
            image.naturalWidth * factor * scale, image.naturalHeight * factor * scale);
        }
    }

    function cross(pen, x, y, reach, words) {
      for (const [color, thick] of [["#fff", 4], ["#111", 1.5]]) {
        pen.strokeStyle = color;
        pen.lineWidth = thick;
        pen.beginPath();
        pen.moveTo(x - reach, y); pen.lineTo(x - 2, y); pen.moveTo(x + 2, y); pen.lineTo(x + reach, y);
        pen.moveTo(x, y - reach); pen.lineTo(x, y - 2); pen.moveTo(x, y + 2); pen.lineTo(x, y + reach);
        pen.stroke();
      }
      if (!words) return;
      pen.font = "600 13px sans-serif";
      pen.lineWidth = 3;
      pen.strokeStyle = "#fff";
      pen.strokeText(words, x + 8, y - 8);
      pen.fillStyle = "#111";
      pen.fillText(words, x + 8, y - 8);
    }

    function prepared(board) {
      const dense = window.devicePixelRatio || 1, wide = board.clientWidth, high = board.clientHeight;
      if (board.width !== Math.round(wide * dense)) board.width = Math.round(wide * dense);
      if (board.height !== Math.round(high * dense)) board.height = Math.round(high * dense);
      const pen = board.getContext("2d");
      pen.setTransform(dense, 0, 0, dense, 0, 0);
      pen.clearRect(0, 0, wide, high);
      return { pen, wide, high, dense };
    }

    let waiting = false;
    function draw() {
      if (waiting || !photo) return;
      waiting = true;
      requestAnimationFrame(() => { waiting = false; drawNow(); });
    }

    function drawNow() {
      const { pen, wide, high, dense } = prepared(canvas);
      paint(pen, view.x, view.y, view.scale, wide, high, dense);
      const on = ([x, y]) => [(x - view.x) * view.scale, (y - view.y) * view.scale];
      for (const point of points) {
        if (!point.at) continue;
        const [x, y] = on(point.at);
        cross(pen, x, y, point.name === active ? 18 : 10, point.label);
      }
      const at = placed() ? placed().at : cursor;
      if (!placed()) cross(pen, ...on(cursor), 26, "");
      // The loupe gets out of the way of what it enlarges.
      const [left, top] = on(at);
      loupe.classList.toggle("aside", left > wide - loupe.clientWidth - 40 && top < loupe.clientHeight + 40);
      const near = prepared(loupe), scale = Math.max(LOUPE, view.scale * 2);
      paint(near.pen, at[0] - near.wide / 2 / scale, at[1] - near.high / 2 / scale, scale, near.wide, near.high, near.dense);
      cross(near.pen, near.wide / 2, near.high / 2, near.wide / 2, "");
    }

    function zoom(times, x = width() / 2, y = height() / 2) {
      const scale = Math.max(whole() / 2, Math.min(FINEST, view.scale * times));
      view = { x: view.x + x / view.scale - x / scale, y: view.y + y / view.scale - y / scale, scale };
      draw();
    }

    function put([x, y]) {
      const tenth = (value, most) => Math.round(Math.max(0, Math.min(most, value)) * 10) / 10;
      cursor = [tenth(x, photo.width), tenth(y, photo.height)];
      if (active) told(active, cursor);
      draw();
    }

    /* Brings the cross a little way off a place, so that it is found anew and not only confirmed. */
    let turns = 0;
    function aside([x, y]) {
      const angle = 2.4 * (turns += 1), far = 40 / view.scale;
      const within = (value, most) => Math.max(0, Math.min(most, value));
      cursor = [within(x + far * Math.cos(angle), photo.width), within(y + far * Math.sin(angle), photo.height)];
      follow(cursor);
    }

    function place(event) {
      const box = canvas.getBoundingClientRect();
      return [view.x + (event.clientX - box.left - canvas.clientLeft) / view.scale, view.y + (event.clientY - box.top - canvas.clientTop) / view.scale];
    }

    /* Mouse, pen and finger: a tap puts the point, a drag moves the picture, two fingers enlarge. */
    const down = new Map();
    let dragged = false, spread = 0;
    canvas.addEventListener("pointerdown", (event) => {
      canvas.focus({ preventScroll: true });
      canvas.setPointerCapture(event.pointerId);
      down.set(event.pointerId, [event.clientX, event.clientY]);
      if (down.size === 1) dragged = false;
      spread = 0;
    });
    canvas.addEventListener("pointermove", (event) => {
      if (!photo) return;
      const before = down.get(event.pointerId);
      if (!before) {
        if (!placed()) { cursor = place(event); draw(); }
        return;
      }
      const way = [event.clientX - before[0], event.clientY - before[1]];
      if (!dragged && Math.hypot(...way) < 5) return;
      dragged = true;
      down.set(event.pointerId, [event.clientX, event.clientY]);
      if (down.size === 2) {
        const [one, other] = [...down.values()], now = Math.hypot(one[0] - other[0], one[1] - other[1]);
        const box = canvas.getBoundingClientRect();
        if (spread) zoom(now / spread, (one[0] + other[0]) / 2 - box.left, (one[1] + other[1]) / 2 - box.top);
        spread = now;
      } else {
        view.x -= way[0] / view.scale;
        view.y -= way[1] / view.scale;
        draw();
      }
    });
    for (const name of ["pointerup", "pointercancel"])
      canvas.addEventListener(name, (event) => {
        const alone = down.size === 1;
        down.delete(event.pointerId);
        if (name === "pointerup" && alone && !dragged && photo) put(place(event));
      });
    canvas.addEventListener("wheel", (event) => {
      if (!photo) return;
      event.preventDefault();
      const box = canvas.getBoundingClientRect();
      zoom(event.deltaY < 0 ? 1.25 : 0.8, event.clientX - box.left, event.clientY - box.top);
    }, { passive: false });

    const ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
    canvas.addEventListener("keydown", (event) => {
      if (!photo || event.ctrlKey || event.metaKey) return;
      const way = ways[event.key], step = event.shiftKey ? 10 : event.altKey ? 0.1 : 1;
      if (way) {
        const from = placed() ? placed().at : cursor, to = from.map((value, i) => value + step * way[i]);
        if (placed()) put(to); else { cursor = to; follow(to); }
      } else if (event.key === "Enter" || event.key === " ") {
        if (!placed()) put(cursor);
      } else if (event.key === "+" || event.key === "=") zoom(1.5);
      else if (event.key === "-") zoom(1 / 1.5);
      else if (event.key === "0") fit();
      else return;
      event.preventDefault();
    });

    /* Keeps a place that was moved by keys in sight. */
    function follow([x, y]) {
      const wide = width() / view.scale, high = height() / view.scale;
      view.x = Math.min(Math.max(view.x, x - 0.9 * wide), x - 0.1 * wide);
      view.y = Math.min(Math.max(view.y, y - 0.9 * high), y - 0.1 * high);
      draw();
    }

    new ResizeObserver(draw).observe(canvas);
    return {
      open, fit, zoom, draw, aside,
      show(next, name) {
        points = next;
        active = name;
        if (photo && placed()) follow(placed().at);
        draw();
      },
    };
  };
})();
