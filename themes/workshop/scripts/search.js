/* The search page. It loads search-words.js, search-index.js and this script, in that order, each
   as a deferred classic script, and holds:

     <form data-search="search/" data-root="" role="search">
       <input type="search" name="q" aria-label="…">
       <select name="kind"><option value="">any kind</option> <option value="photo">…</option></select>
       <select name="zone"> … </select>  <select name="grade"> … </select>          (each may be left out)
       <p data-search-status role="status" aria-live="polite"></p>
       <ol data-search-results></ol>
       <button type="button" data-search-more hidden>Show more</button>
     </form>

   `data-search` is the way from this page to the folder with manifest.js and its companions,
   `data-root` the way to the site's root, both with a slash at the end unless empty. A hit is
   <li><a href>title</a> <span class="search-facts">kind, zone, grade</span> <p>summary</p></li>;
   a proposal in the status line is <button type="button" class="search-instead">.
   The words may come with the address: ?q=… or #q=…, with kind, zone and grade likewise.
   Down and Up walk through the hits, Escape goes back to the words.

   Nothing here writes HTML, and nothing is fetched: it all works from a file. */
(function () {
  "use strict";

  const { fold, open, search } = window.RecordSearch;

  function element(name, text, className) {
    const made = document.createElement(name);
    if (className) made.className = className;
    if (text) made.textContent = text;
    return made;
  }

  function setUp(form) {
    const input = form.querySelector("input"), list = form.querySelector("[data-search-results]");
    const status = form.querySelector("[data-search-status]");
    const more = form.querySelector("[data-search-more]");
    const selects = Array.from(form.querySelectorAll("select"));
    const root = form.dataset.root || "";
    const STEP = 20;
    let limit = STEP, turn = 0, timer = 0;

    function asked() {
      const values = { q: input.value.trim() };
      for (const select of selects) values[select.name] = select.value;
      return values;
    }

    function shownHit(hit) {
      const item = element("li"), link = element("a", hit.title || hit.ref);
      link.setAttribute("href", root + hit.url);
      const zone = hit.zone && "zone " + hit.zone;
      const facts = [hit.kind, zone, hit.grade].filter(Boolean).join(", ");
      item.append(link, " ", element("span", facts, "search-facts"));
      if (hit.summary) item.append(element("p", hit.summary));
      return item;
    }

    function instead(words) {
      const button = element("button", words, "search-instead");
      button.type = "button";
      button.addEventListener("click", function () { input.value = words; input.focus(); start(); });
      return button;
    }

    /* One line: how many, what was put right, and what to try where nothing was found. */
    function tell(answer, line) {
      const said = [];
      for (const [typed, others] of answer.corrected) {
        said.push("Nothing has “" + typed + "”; looked for " + others.slice(0, 4).join(", ") + ". ");
      }
      for (const typed of answer.missing) said.push("Nothing has “" + typed + "”. ");
      if (answer.total) {
        said.push(answer.total === 1 ? "1 record." : answer.total + " records");
        if (answer.total > 1) said.push(answer.total > limit ? ", the first " + limit + " shown." : ".");
      } else {
        said.push("Nothing found. ");
        const rest = line.split(/\s+/).filter(function (word) {
          return !answer.missing.includes(fold(word));
        }).join(" ");
        let better = rest;
        for (const [typed, others] of answer.corrected) {
          better = better.split(" ").map(function (word) {
            return fold(word) === typed ? others[0] : word;
          }).join(" ");
        }
        if (better && better !== line) said.push("Did you mean ", instead(better), "?");
      }
      status.replaceChildren.apply(status, said);
    }

    async function run() {
      const mine = ++turn, values = asked();
      const any = Object.values(values).some(Boolean);
      remember(values);
      try {
        const answer = await search(values.q, values, limit);
        if (mine !== turn) return;
        list.replaceChildren.apply(list, answer.hits.map(shownHit));
        if (any) tell(answer, values.q); else status.replaceChildren();
        if (more) more.hidden = answer.total <= limit;
      } catch (error) {
        if (mine === turn) status.textContent = error.message;
      }
    }

    function start() {
      limit = STEP;
      clearTimeout(timer);
      run();
    }

    function remember(values) {
      const told = new URLSearchParams();
      for (const name of Object.keys(values)) if (values[name]) told.set(name, values[name]);
      try {
        history.replaceState(null, "", location.pathname + (told.toString() ? "#" + told : ""));
      } catch (_) { /* some browsers refuse this for files: the search goes on */ }
    }

    function recall() {
      const told = new URLSearchParams(location.hash.length > 1 ? location.hash.slice(1) : location.search);
      input.value = told.get("q") || "";
      for (const select of selects) {
        select.value = told.get(select.name) || "";
        if (select.selectedIndex < 0) select.selectedIndex = 0;
      }
    }

    form.addEventListener("submit", function (event) { event.preventDefault(); start(); });
    input.addEventListener("input", function () {
      clearTimeout(timer);
      timer = setTimeout(start, 120);
    });
    for (const select of selects) select.addEventListener("change", start);
    if (more) more.addEventListener("click", function () { limit += STEP; run(); });
    window.addEventListener("hashchange", function () { recall(); start(); });
    form.addEventListener("keydown", function (event) {
      const links = Array.from(list.querySelectorAll("a"));
      const place = links.indexOf(document.activeElement);
      if (event.key === "Escape" && place >= 0) input.focus();
      else if (event.key === "ArrowDown" && (place >= 0 || event.target === input) && links[place + 1]) {
        links[place + 1].focus();
      } else if (event.key === "ArrowUp" && place >= 0) (links[place - 1] || input).focus();
      else return;
      event.preventDefault();
    });

    recall();
    open(form.dataset.search).then(run, function (error) { status.textContent = error.message; });
  }

  document.addEventListener("DOMContentLoaded", function () {
    const form = document.querySelector("[data-search]");
    if (form) setUp(form);
  });
})();
