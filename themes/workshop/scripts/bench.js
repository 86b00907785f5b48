/* The measuring bench: picks and known sizes become a preview and the text of a record. */
(function () {
  "use strict";
  const bench = document.querySelector("[data-bench]");
  if (!bench || !window.benchPicture) return;
  const data = JSON.parse(bench.dataset.bench), sums = window.benchSums;
  const find = (name) => bench.querySelector(`[data-${name}]`);
  const form = find("form"), list = find("points"), said = find("said"), text = find("record"), stage = find("picture");
  const field = (name) => form.elements[name];
  const number = (name) => { const value = parseFloat(field(name).value.replace(",", ".")); return Number.isFinite(value) ? value : null; };
  const LETTERS = "abcdefghijklmnopqrstuvwxyz";
  let photo = null, active = "", points = [], before = [], untaken = false;

  /* A point holds every pick that was made of it. `own` ones were made here; while it is `anew`, the
     last mark is out of sight and the next pick is one more. */
  const picture = window.benchPicture(stage, find("loupe"), (name, at) => {
    keep();
    const one = point(name);
    if (one.anew || !one.made.length) one.made.push(at); else one.made[one.made.length - 1] = at;
    one.anew = false;
    one.own = true;
    moved();
  });
  const point = (name) => points.find((one) => one.name === name);
  const method = () => form.elements.method.value;
  const last = (one) => (one.anew ? null : one.made[one.made.length - 1] || null);
  const at = (one) => (one.made.length ? sums.mean(one.made) : null);
  const shown = () => picture.show(points.map((one) => ({ name: one.name, label: one.label, at: last(one) })), active);

  /* Every change can be taken back. */
  function keep() {
    before.push(JSON.stringify(points));
    if (before.length > 200) before.shift();
  }
  find("undo").addEventListener("click", undo);
  document.addEventListener("keydown", (event) => {
    if ((event.ctrlKey || event.metaKey) && event.key === "z" && !/^(input|textarea)$/.test(event.target.localName)) { event.preventDefault(); undo(); }
  });
  function undo() {
    if (!before.length) return;
    points = JSON.parse(before.pop());
    listed();
  }

  /* The point is picked once more. One that the photograph's note gives may be another person's, so
     that a pick made here takes its place and isn't taken together with it. */
  function again(name) {
    const one = point(name), from = last(one);
    if (!from) return;
    keep();
    if (one.own) one.anew = true; else one.made = [];
    active = name;
    listed();
    picture.aside(from);
    stage.focus({ preventScroll: true });
  }
  stage.addEventListener("keydown", (event) => {
    if (event.key.toLowerCase() !== "r" || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    again(active);
  });

  /* What has to be picked, by the way of measuring; picks that are there already stay. */
  function wanted() {
    const old = new Map(points.map((one) => [one.name, one]));
    const own = (name, role, survey) => {
      const held = old.get(name), given = survey && photo.picks[name];
      return { name, role, survey, made: held ? held.made : given ? [given] : [], own: Boolean(held && held.own), anew: Boolean(held && held.anew) };
    };
    const ends = [own(named("from"), "one end"), own(named("to"), "the other end")];
    if (method() !== "scale") points = [...ends, ...chosen().map((one) => own(one.id, one.title, one))];
    else if (surveyed()) points = [...ends, ...betweenPoints().map((one) => own(one.id, `known length: ${one.title}`, one))];
    else points = [...ends, own("known-one", "known length: one end"), own("known-other", "known length: the other end")];
    points.forEach((one, i) => { one.label = LETTERS[i] || String(i + 1); });
    if (!point(active)) active = (points.find((one) => !last(one)) || points[0]).name;
    listed();
  }
  const slug = (words) => words.toLowerCase().normalize("NFD").replace(/[^a-z0-9]+/g, "-").replace(/^-+|-+$/g, "").slice(0, 60);
  const named = (end) => slug(field(end).value) || (end === "from" ? "from" : "to");
  const chosen = () => data.points.filter((one) => form.querySelector(`[name=known-point][value="${CSS.escape(one.ref)}"]`).checked);
  /* The survey whose two points give the known length, if that is how it is known. */
  const surveyed = () => (field("known").value.startsWith("surveys/") ? field("known").value : "");
  const betweenPoints = () => ["known-from", "known-to"].map((name) => data.points.find((one) => one.ref === field(name).value)).filter((one, i, both) => one && both.indexOf(one) === i);

  /* Points that are picked on this photograph come first: those are at hand. */
  function offered() {
    find("between").hidden = !surveyed();
    const of = data.points.filter((one) => one.survey === surveyed());
    of.sort((a, b) => Number(b.id in photo.picks) - Number(a.id in photo.picks));
    for (const name of ["known-from", "known-to"]) {
      const kept = field(name).value;
      field(name).replaceChildren(new Option("choose", ""), ...of.map((one) => new Option(one.title, one.ref)));
      if (of.some((one) => one.ref === kept)) field(name).value = kept;
    }
  }

  const counted = (one) => (one.anew ? `pick ${one.made.length + 1}: put it anew` : one.made.length > 1 ? `mean of ${one.made.length}: ${at(one).map((value) => value.toFixed(1)).join(", ")}` : "");
  function listed() {
    list.replaceChildren(...points.map((one) => {
      const row = document.createElement("li"), pick = document.createElement("input"), label = document.createElement("label");
      const once = document.createElement("button"), note = document.createElement("span");
      pick.type = "radio"; pick.name = "active"; pick.checked = one.name === active; pick.id = `_pick-${one.label}`;
      pick.addEventListener("change", () => { active = one.name; shown(); });
      label.htmlFor = pick.id;
      label.textContent = `${one.label}. ${one.role}`;
      once.type = "button"; once.textContent = one.own || !last(one) ? "Once more" : "Pick it myself";
      once.setAttribute("aria-label", `${once.textContent}: ${one.role}`);
      once.addEventListener("click", () => again(one.name));
      note.className = "note"; note.dataset.count = "";
      const fields = [0, 1].map((axis) => {
        const input = document.createElement("input");
        input.type = "number"; input.step = "0.1";
        input.setAttribute("aria-label", `${one.role}, pixels ${axis ? "down" : "across"}`);
        input.addEventListener("change", () => {
          const typed = fields.map((each) => parseFloat(each.value));
          if (!typed.every(Number.isFinite)) return;
          keep();
          if (one.anew || !one.made.length) one.made.push(typed); else one.made[one.made.length - 1] = typed;
          one.anew = false;
          one.own = true;
          active = one.name;
          moved();
        });
        return input;
      });
      row.append(pick, label, ...fields, once, note);
      row.dataset.name = one.name;
      return row;
    }));
    told();
    shown();
    summed();
  }

  /* What each row tells of its point. */
  function told() {
    for (const row of list.children) {
      const one = point(row.dataset.name), seen = last(one), once = row.querySelector("button");
      row.querySelector("[type=radio]").checked = one.name === active;
      row.querySelectorAll("[type=number]").forEach((input, axis) => {
        // A point of which only one number is typed yet keeps it.
        if (document.activeElement !== input && (seen || one.anew)) input.value = seen ? seen[axis] : "";
      });
      once.disabled = !seen;
      once.textContent = one.own || !seen ? "Once more" : "Pick it myself";
      once.setAttribute("aria-label", `${once.textContent}: ${one.role}`);
      row.querySelector("[data-count]").textContent = counted(one);
    }
  }

  function moved() {
    untaken = true;
    told();
    shown();
    summed();
  }

  /* The chosen person's own error on this photograph, by what is repeated here and in the record. */
  function scatter() {
    const by = field("by").value;
    return sums.pooled(by ? [...points.filter((one) => one.own).map((one) => one.made), ...(photo.again[by] || [])] : []);
  }
  function pickError(names) {
    const times = names.length ? names.map((one) => one.made.length)
      : [...points.map((one) => one.made.length), ...Object.keys(photo.picks).filter((name) => !point(name)).map(() => 1)];
    return Math.max(...times.map((count) => sums.pickError(scatter(), count, data.allow)));
  }
  function ownTold() {
    const found = scatter(), repeated = points.some((one) => one.own && one.made.length > 1);
    find("own").textContent = found.freedom
      ? `Your repeats here scatter by ${Math.sqrt(found.squares / found.freedom).toFixed(1)} px: one pick of yours is taken as good to ${sums.single(found, data.allow.pick_px).toFixed(1)} px.`
      : repeated ? "Say below who measures, so that the repeats count as that person's." : "";
  }

  const known = () => {
    if (!surveyed()) return data.known.find((one) => one.ref === field("known").value);
    const two = betweenPoints();
    return two.length === 2 ? { ref: surveyed(), ...sums.between(...two, data.allow) } : null;
  };
  const doubted = (name) => { const mm = number(name), half = number(`${name}-half`); return mm === null ? null : { mm, u: half === null ? 0 : Math.abs(half) / 1.96 }; };
  function asked() {
    const missing = points.filter((one) => !last(one));
    if (missing.length) return { wait: `Still to pick: ${missing.map((one) => one.label).join(", ")}.` };
    const size = [photo.width, photo.height], ends = points.slice(0, 2).map(at), rest = points.slice(2);
    if (method() === "scale") {
      if (!known()) return { wait: surveyed() ? "Choose two surveyed points." : "Choose the known length." };
      const same = field("same").checked, near = doubted("nearer");
      if (!same && !near) return { wait: "Say whether the known length lies in the same plane, or how much nearer it is." };
      return sums.beside({
        thing: ends, rule: rest.map(at), known: known(), size, near: same ? null : near, distance: doubted("distance"),
        tilt: number("tilt"), bend: photo.bend, pick: [pickError(points.slice(0, 2)), pickError(rest)],
      }, data.allow);
    }
    return sums.onPlane({
      known: rest.map((one) => ({ at: one.survey.at, u: one.survey.u, px: at(one) })), ends, size, offPlane: number("off"),
      bend: photo.bend, pick: pickError([]),
    }, data.allow);
  }

  const inches = (mm) => `${(mm / 25.4).toFixed(2)} in`, metric = (mm) => `${mm.toFixed(1)} mm`;
  function summed() {
    if (!photo) return;
    ownTold();
    const found = asked();
    const [first, other] = data.units === "in" ? [inches, metric] : [metric, inches];
    const half = found.u * 1.96;
    said.textContent = found.wait || (found.refused ? `No size. ${found.refused} ${found.way}`
      : `About ${first(found.value)} ± ${first(half)} (${other(found.value)} ± ${other(half)}), 95 times in 100. ${found.note || ""}`);
    said.dataset.value = found.value ?? "";
    said.dataset.u = found.u ?? "";
    text.value = found.wait ? "" : record();
    find("take").hidden = Boolean(found.wait);
  }

  /* The record as the reader takes it; JSON's strings are YAML's too. */
  function record() {
    const pixel = (made) => `[${made.map((value) => Math.round(value * 10) / 10).join(", ")}]`;
    const length = (name) => `${number(name)} mm${number(`${name}-half`) === null ? "" : ` +/- ${Math.abs(number(`${name}-half`))} mm`}`;
    const title = field("title").value.trim() || `From ${points[0].name} to ${points[1].name}`;
    const lines = [`title: ${JSON.stringify(title)}`];
    if (field("by").value) lines.push(`by: ${field("by").value}`);
    lines.push(`on: ${field("on").value}`, `photos: [${photo.id}]`, `method: ${method()}`, `between: [${points[0].name}, ${points[1].name}]`, "picks:");
    for (const { name, made: [first, ...more] } of points)
      lines.push(`  - {point: ${name}, at: ${pixel(first)}${more.length ? `, again: [${more.map(pixel).join(", ")}]` : ""}}`);
    if (method() === "scale") {
      const same = field("same").checked;
      lines.push("references:", `  - {between: [${points[2].name}, ${points[3].name}], length: ${known().ref}, ${same ? "same_plane: yes" : `same_plane: no, nearer: ${length("nearer")}`}}`);
      if (number("distance") !== null) lines.push(`camera_distance: ${length("distance")}`);
      if (number("tilt") !== null) lines.push(`tilt_deg: ${number("tilt")}`);
    } else {
      lines.push("points:", ...points.slice(2).map((one) => `  - ${one.survey.ref}`));
      if (number("off") !== null) lines.push(`off_plane: ${number("off")} mm`);
    }
    return `${lines.join("\n")}\n`;
  }

  find("copy").addEventListener("click", async () => {
    text.select();
    try { await navigator.clipboard.writeText(text.value); } catch { document.execCommand("copy"); }
    taken("Copied. Save it in measurements/ of the content folder.");
  });
  find("save").addEventListener("click", () => {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([text.value], { type: "text/yaml" }));
    link.download = `${slug(field("title").value) || `${points[0].name}-${photo.id}`}.yaml`;
    link.click();
    URL.revokeObjectURL(link.href);
    taken(`Saved as ${link.download}. Put it in measurements/ of the content folder.`);
  });
  function taken(words) {
    untaken = false;
    find("taken").textContent = words;
  }
  window.addEventListener("beforeunload", (event) => { if (untaken) event.preventDefault(); });

  function open(id) {
    photo = data.photos.find((one) => one.id === id) || data.photos[0];
    if (!photo) return;
    field("photo").value = photo.id;
    find("link").href = `photos/${photo.id}.html`;
    points = [];
    before = [];
    picture.open(photo);
    offered();
    wanted();
  }

  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("change", (event) => {
    const name = event.target.name;
    if (name === "photo") {
      if (points.some((one) => one.own) && untaken && !window.confirm("Leave this picture? Its picks are not taken away yet.")) { field("photo").value = photo.id; return; }
      history.replaceState(null, "", `#${field("photo").value}`);
      return open(field("photo").value);
    }
    for (const one of bench.querySelectorAll("[data-for]")) one.hidden = one.dataset.for !== method();
    if (name === "known") offered();
    if (["from", "to", "method", "known-point", "known", "known-from", "known-to"].includes(name)) { keep(); wanted(); } else summed();
  });
  form.addEventListener("input", (event) => { if (["title", "nearer", "nearer-half", "distance", "distance-half", "tilt", "off"].includes(event.target.name)) summed(); });
  for (const [name, act] of [["larger", () => picture.zoom(1.5)], ["smaller", () => picture.zoom(1 / 1.5)], ["whole", picture.fit]])
    find(name).addEventListener("click", act);
  field("on").value = new Date(Date.now() - new Date().getTimezoneOffset() * 60000).toISOString().slice(0, 10);
  for (const one of bench.querySelectorAll("[data-for]")) one.hidden = one.dataset.for !== method();
  bench.hidden = false;
  open(location.hash.slice(1));
  window.addEventListener("hashchange", () => open(location.hash.slice(1)));
})();
