/* The measuring bench: picks and known sizes become a preview and the text of a record. */
(function () {
  "use strict";
  const bench = document.querySelector("[data-bench]");
  if (!bench || !window.benchPicture) return;
  const data = JSON.parse(bench.dataset.bench);
  const find = (name) => bench.querySelector(`[data-${name}]`);
  const form = find("form"), list = find("points"), said = find("said"), text = find("record");
  const field = (name) => form.elements[name];
  const number = (name) => { const value = parseFloat(field(name).value.replace(",", ".")); return Number.isFinite(value) ? value : null; };
  const LETTERS = "abcdefghijklmnopqrstuvwxyz";
  let photo = null, active = "", points = [], before = [], untaken = false;

  const picture = window.benchPicture(find("picture"), find("loupe"), (name, at) => { keep(); point(name).at = at; moved(); });
  const point = (name) => points.find((one) => one.name === name);
  const method = () => form.elements.method.value;

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

  /* What has to be picked, by the way of measuring; picks that are there already stay. */
  function wanted() {
    const old = new Map(points.map((one) => [one.name, one.at]));
    const own = (name, role) => ({ name, role, at: old.get(name) || null });
    const ends = [own(named("from"), "one end"), own(named("to"), "the other end")];
    if (method() === "scale") points = [...ends, own("known-one", "known length: one end"), own("known-other", "known length: the other end")];
    else points = [...ends, ...chosen().map((one) => ({ name: one.id, role: one.title, at: old.get(one.id) || photo.picks[one.id] || null, survey: one }))];
    points.forEach((one, i) => { one.label = LETTERS[i] || String(i + 1); });
    if (!point(active)) active = (points.find((one) => !one.at) || points[0]).name;
    listed();
  }
  const slug = (words) => words.toLowerCase().normalize("NFD").replace(/[^a-z0-9]+/g, "-").replace(/^-+|-+$/g, "").slice(0, 60);
  const named = (end) => slug(field(end).value) || (end === "from" ? "from" : "to");
  const chosen = () => data.points.filter((one) => form.querySelector(`[name=known-point][value="${CSS.escape(one.ref)}"]`).checked);

  function listed() {
    list.replaceChildren(...points.map((one) => {
      const row = document.createElement("li"), pick = document.createElement("input"), label = document.createElement("label");
      pick.type = "radio"; pick.name = "active"; pick.checked = one.name === active; pick.id = `_pick-${one.label}`;
      pick.addEventListener("change", () => { active = one.name; picture.show(points, active); });
      label.htmlFor = pick.id;
      label.textContent = `${one.label}. ${one.role}`;
      const fields = [0, 1].map((axis) => {
        const input = document.createElement("input");
        input.type = "number"; input.step = "0.1"; input.value = one.at ? one.at[axis] : "";
        input.setAttribute("aria-label", `${one.role}, pixels ${axis ? "down" : "across"}`);
        input.addEventListener("change", () => {
          const typed = fields.map((each) => parseFloat(each.value));
          keep();
          one.at = typed.every(Number.isFinite) ? typed : null;
          active = one.name;
          moved();
        });
        return input;
      });
      row.append(pick, label, ...fields);
      row.dataset.name = one.name;
      return row;
    }));
    picture.show(points, active);
    summed();
  }

  function moved() {
    untaken = true;
    for (const row of list.children) {
      const one = point(row.dataset.name);
      row.querySelector("[type=radio]").checked = one.name === active;
      row.querySelectorAll("[type=number]").forEach((input, axis) => {
        // A point of which only one number is typed yet keeps it.
        if (one.at && document.activeElement !== input) input.value = one.at[axis];
      });
    }
    picture.show(points, active);
    summed();
  }

  const known = () => data.known.find((one) => one.ref === field("known").value);
  function asked() {
    const missing = points.filter((one) => !one.at);
    if (missing.length) return { wait: `Still to pick: ${missing.map((one) => one.label).join(", ")}.` };
    const size = [photo.width, photo.height], ends = points.slice(0, 2).map((one) => one.at);
    if (method() === "scale") {
      if (!known()) return { wait: "Choose the known length." };
      const same = field("same").checked, near = number("nearer"), far = number("distance");
      if (!same && near === null) return { wait: "Say whether the known length lies in the same plane, or how much nearer it is." };
      return window.benchSums.beside({
        thing: ends, rule: points.slice(2).map((one) => one.at), known: { mm: known().mm, u: known().u }, size,
        near: same ? null : { mm: near, u: 0 }, distance: far === null ? null : { mm: far, u: 0 }, tilt: number("tilt"), bend: photo.bend,
      }, data.allow);
    }
    return window.benchSums.onPlane({
      known: points.slice(2).map((one) => ({ at: one.survey.at, u: one.survey.u, px: one.at })), ends, size, offPlane: number("off"), bend: photo.bend,
    }, data.allow);
  }

  const inches = (mm) => `${(mm / 25.4).toFixed(2)} in`, metric = (mm) => `${mm.toFixed(1)} mm`;
  function summed() {
    if (!photo) return;
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
    const at = (one) => `[${one.at.map((value) => Math.round(value * 10) / 10).join(", ")}]`;
    const title = field("title").value.trim() || `From ${points[0].name} to ${points[1].name}`;
    const lines = [`title: ${JSON.stringify(title)}`];
    if (field("by").value) lines.push(`by: ${field("by").value}`);
    lines.push(`on: ${field("on").value}`, `photos: [${photo.id}]`, `method: ${method()}`, `between: [${points[0].name}, ${points[1].name}]`, "picks:");
    for (const one of points) lines.push(`  - {point: ${one.name}, at: ${at(one)}}`);
    if (method() === "scale") {
      const same = field("same").checked;
      lines.push("references:", `  - {between: [known-one, known-other], length: ${known().ref}, ${same ? "same_plane: yes" : `same_plane: no, nearer: ${number("nearer")} mm`}}`);
      if (number("distance") !== null) lines.push(`camera_distance: ${number("distance")} mm`);
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
    wanted();
  }

  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("change", (event) => {
    const name = event.target.name;
    if (name === "photo") {
      if (points.some((one) => one.at && !photo.picks[one.name]) && untaken && !window.confirm("Leave this picture? Its picks are not taken away yet.")) { field("photo").value = photo.id; return; }
      history.replaceState(null, "", `#${field("photo").value}`);
      return open(field("photo").value);
    }
    for (const one of bench.querySelectorAll("[data-for]")) one.hidden = one.dataset.for !== method();
    if (["from", "to", "method", "known-point"].includes(name)) { keep(); wanted(); } else summed();
  });
  form.addEventListener("input", (event) => { if (["title", "nearer", "distance", "tilt", "off"].includes(event.target.name)) summed(); });
  for (const [name, act] of [["larger", () => picture.zoom(1.5)], ["smaller", () => picture.zoom(1 / 1.5)], ["whole", picture.fit]])
    find(name).addEventListener("click", act);
  field("on").value = new Date(Date.now() - new Date().getTimezoneOffset() * 60000).toISOString().slice(0, 10);
  for (const one of bench.querySelectorAll("[data-for]")) one.hidden = one.dataset.for !== method();
  bench.hidden = false;
  open(location.hash.slice(1));
  window.addEventListener("hashchange", () => open(location.hash.slice(1)));
})();
