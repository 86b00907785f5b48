/* The search index in the browser: the same hits in the same order as the `find` command.

   RecordSearch.open(folder) names the folder of manifest.js and its companions (a relative address
   with a slash at the end); RecordSearch.search(words, {kind, zone, grade}, limit) is a promise of
   {hits, total, corrected, missing}. Files are loaded as scripts, each when first needed, and hand
   over their value by RecordSearch.take(name, value).

   Each step answers to one of the same name in the program's search package, which explains it. */
(function () {
  "use strict";

  const { added, numbers, postings } = window.RecordSearch.codec;
  const { chains, compact, distance, isLetters, isPlain, pieces, stem } = window.RecordSearch.words;
  const FIELDS = 3, MARKS = 2;
  let folder = "", rules = null;

  function fold(text) { return window.RecordSearch.words.fold(text, rules.letters); }

  /* ---- loading: a script hands over its value by name ---- */

  const waiting = new Map(), arrived = new Map();

  function take(name, value) {
    arrived.set(name, value);
  }

  function load(name) {
    if (waiting.has(name)) return waiting.get(name);
    const coming = new Promise(function (resolve, reject) {
      const script = document.createElement("script");
      script.src = folder + name + ".js";
      script.onload = function () {
        script.remove();
        if (arrived.has(name)) resolve(arrived.get(name)); else script.onerror();
      };
      script.onerror = function () {
        waiting.delete(name);
        reject(new Error("The file " + name + ".js of the search index could not be loaded."));
      };
      document.head.append(script);
    });
    waiting.set(name, coming);
    return coming;
  }

  async function open(where) {
    if (where !== undefined) folder = where;
    if (rules) return;
    const manifest = await load("manifest");
    if (rules) return;
    const short = manifest.shortPlace;
    manifest.facet = numbers(manifest.facet, short);
    manifest.lengths = manifest.lengths.map(function (text) { return numbers(text, short); });
    manifest.stop = new Set(manifest.stop);
    rules = manifest;
    rules.meanings = synonymsByStem();
  }

  /* The last row of a [first key, name] table whose first key is not beyond `key`. */
  function rowFor(table, key) {
    let low = 0, high = table.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (table[middle][0] <= key) low = middle + 1; else high = middle;
    }
    return Math.max(low - 1, 0);
  }

  /* ---- query: clauses, each with its ways {stems, mark, weight} ---- */

  const ITEM = /(?:(kind|zone|grade):)?(?:"([^"]*)"?|([^ \t\n\r\f\v]+))/g;

  function stems(parts) {
    return parts.filter(function (part) { return !rules.stop.has(part); }).map(stem);
  }

  function way(stems, mark, weight) {
    return { stems: stems, mark: mark || "", weight: weight || 1 };
  }

  function key(one) { return one.stems.join(" ") + "!" + one.mark; }

  function distinct(ways) {
    const seen = new Set();
    return ways.filter(function (one) { return !seen.has(key(one)) && seen.add(key(one)); });
  }

  function synonymsByStem() {
    const table = new Map();
    for (const group of rules.synonyms) {
      const stemmed = group.map(function (term) { return stems(term.split(" ")); });
      for (const one of stemmed) {
        const name = one.join(" ");
        if (!table.has(name)) table.set(name, new Map());
        for (const other of stemmed) {
          if (other.join(" ") !== name) table.get(name).set(other.join(" "), other);
        }
      }
    }
    return table;
  }

  function unit(chain) {
    if (isPlain(chain)) {
      const own = [stem(chain)];
      const word = isLetters(chain) ? chain : "";
      return { typed: chain, ways: [way(own, chain)], word: word, run: own };
    }
    const bare = compact(chain), parts = stems(pieces(chain));
    const ways = [way([], chain), way([stem(bare)], bare)];
    if (parts.length > 1) ways.push(way(parts));
    return { typed: chain, ways: distinct(ways), whole: chain, run: parts };
  }

  function phrase(quoted) {
    const only = chains(quoted), typed = '"' + quoted + '"';
    if (only.length === 1 && !isPlain(only[0])) {
      return Object.assign(unit(only[0]), { typed: typed, run: [] });
    }
    const parts = stems(only.flatMap(pieces));
    return parts.length ? { typed: typed, ways: [way(parts, compact(quoted))], run: [] } : null;
  }

  function parse(line, filters) {
    const units = [], byFacet = {}, kept = [];
    for (const item of fold(line).matchAll(ITEM)) {
      const facet = item[1], quoted = item[2], bare = item[3] || "";
      if (facet) {
        (byFacet[facet] = byFacet[facet] || []).push(compact(quoted || bare));
      } else if (quoted) {
        const clause = phrase(quoted);
        if (clause) units.push(clause);
      } else if (bare.endsWith("*") && compact(bare).length >= rules.shortestPrefix) {
        units.push({ typed: bare, prefix: compact(bare), ways: [], run: [] });
      } else {
        for (const chain of chains(bare)) if (!rules.stop.has(chain)) units.push(unit(chain));
      }
    }
    rules.facetNames.forEach(function (name, place) {
      if (byFacet[name]) kept.push([place, byFacet[name]]);
      if (filters && filters[name]) kept.push([place, [compact(fold(filters[name]))]]);
    });
    lendSynonyms(units);
    return { clauses: units, kept: kept };
  }

  function lendSynonyms(units) {
    const lent = units.map(function () { return []; });
    for (let start = 0; start < units.length; start++) {
      let run = [];
      for (let end = start; end < units.length; end++) {
        run = run.concat(units[end].run);
        if (!units[end].run.length || run.length > rules.longestTerm) break;
        for (const other of (rules.meanings.get(run.join(" ")) || new Map()).values()) {
          for (let place = start; place <= end; place++) {
            lent[place].push(way(other, "", rules.synonymWeight));
          }
        }
      }
    }
    units.forEach(function (clause, place) {
      clause.ways = distinct(clause.ways.concat(lent[place]));
    });
  }

  /* ---- the index, file by file ---- */

  const parsed = new Map();

  async function termFile(row) {
    const name = rules.terms[row][1];
    const text = await load(name);
    if (!parsed.has(name)) {
      const entries = new Map();
      let term = "";
      for (const told of text.split(" ")) {
        const end = told.search(/[!`]/);
        term = added(term, told.slice(0, end));
        entries.set(term, told.slice(told[end] === "`" ? end + 1 : end));
      }
      parsed.set(name, entries);
    }
  }

  async function loadTerms(ways) {
    const rows = new Set();
    for (const one of ways) {
      for (const term of one.mark ? one.stems.concat(one.mark) : one.stems) {
        if (rules.terms.length) rows.add(rowFor(rules.terms, term));
      }
    }
    await Promise.all(Array.from(rows, termFile));
  }

  /* The postings of a term in a field, as text. */
  function entry(term, field) {
    if (!rules.terms.length) return "";
    const found = parsed.get(rules.terms[rowFor(rules.terms, term)][1]).get(term);
    return (found && found.split("!")[field]) || "";
  }

  async function words(start) {
    if (!rules.words.length) return [];
    const first = start ? rowFor(rules.words, start) : 0;
    const last = start ? rowFor(rules.words, start + "\uffff") : rules.words.length - 1;
    const names = rules.words.slice(first, last + 1).map(function (row) { return row[1]; });
    const found = [];
    for (const text of await Promise.all(names.map(load))) {
      let word = "";
      for (const told of text.match(/[A-Z][^A-Z]*/g)) {
        word = added(word, told);
        if (word.startsWith(start)) found.push(word);
      }
    }
    return found;
  }

  function anyOf(list) {
    const own = Array.from(new Set(list.map(stem)), function (one) { return way([one]); });
    return own.concat(list.map(function (word) { return way([], word); }));
  }

  async function settle(clause) {
    if (clause.prefix) clause.ways = anyOf(await words(clause.prefix));
    await loadTerms(clause.ways);
    if (clause.whole && entry(clause.whole, MARKS)) {
      clause.ways = clause.ways.filter(function (one) {
        return !one.mark || one.mark === clause.whole;
      });
    }
  }

  async function near(word) {
    const most = word.length < 4 ? 0 : word.length < 8 ? 1 : 2;
    const all = most ? await words("") : [];
    for (let limit = 1; limit <= most; limit++) {
      const found = all.filter(function (other) {
        return Math.abs(other.length - word.length) <= limit &&
          distance(word, other, limit) <= limit && isLetters(other);
      });
      if (found.length) return found;
    }
    return [];
  }

  /* ---- ranking ---- */

  function inARow(terms, field) {
    let found = new Map();
    postings(entry(terms[0], field), rules, true, function (document, _, places) {
      found.set(document, places);
    });
    for (let step = 1; step < terms.length; step++) {
      const kept = new Map();
      postings(entry(terms[step], field), rules, true, function (document, _, places) {
        const before = found.get(document);
        if (!before) return;
        const after = new Set(places);
        const both = before.filter(function (place) { return after.has(place + step); });
        if (both.length) kept.set(document, both);
      });
      found = kept;
    }
    return found;
  }

  function inField(ways, field) {
    const rows = field !== MARKS && ways.some(function (one) { return one.stems.length > 1; });
    const times = new Map(), starts = new Map();
    for (const one of ways) {
      const terms = field === MARKS ? (one.mark ? [one.mark] : []) : one.stems;
      if (!terms.length) continue;
      if (!rows) {
        postings(entry(terms[0], field), rules, false, function (document, count) {
          times.set(document, (times.get(document) || 0) + one.weight * count);
        });
        continue;
      }
      for (const [document, places] of inARow(terms, field)) {
        if (!starts.has(document)) starts.set(document, new Map());
        const seen = starts.get(document);
        for (const place of places) seen.set(place, Math.max(seen.get(place) || 0, one.weight));
      }
    }
    for (const [document, seen] of starts) {
      let sum = 0;
      for (const weight of seen.values()) sum += weight;
      times.set(document, sum);
    }
    return times;
  }

  function part(ways) {
    const sums = new Map();
    for (let field = 0; field < FIELDS; field++) {
      const times = inField(ways, field);
      if (!times.size) continue;
      const idf = Math.log(rules.count / (times.size + 1)) + 1;
      const mean = rules.totals[field] / rules.count || 1, lengths = rules.lengths[field];
      const k1 = rules.k1, b = rules.b, weight = rules.weights[field];
      for (const [document, tf] of times) {
        const score = weight * (idf * ((tf * (k1 + 1)) /
          (tf + k1 * ((1 - b) + b * lengths[document] / mean))));
        sums.set(document, (sums.get(document) || 0) + score);
      }
    }
    return sums;
  }

  /* Every document found, as [number, score in millionths], best first. */
  async function rank(line, filters) {
    await open();
    const query = parse(line, filters), corrected = [], missing = [];
    await Promise.all(query.clauses.map(settle));
    let scores = null;
    for (const clause of query.clauses) {
      let sums = part(clause.ways);
      if (!sums.size) {
        const others = clause.word ? await near(clause.word) : [];
        const ways = anyOf(others);
        await loadTerms(ways);
        sums = part(ways);
        if (sums.size) corrected.push([clause.typed, others]); else missing.push(clause.typed);
      }
      if (scores) {
        const both = new Map();
        for (const [document, score] of scores) {
          if (sums.has(document)) both.set(document, score + sums.get(document));
        }
        scores = both;
      } else scores = sums;
    }
    if (!scores) {
      scores = new Map();
      for (let n = 0; query.kept.length && n < rules.count; n++) scores.set(n, 0);
    }
    const found = [];
    for (const [document, score] of scores) {
      const values = rules.facets[rules.facet[document]][1];
      if (query.kept.every(function (one) { return one[1].includes(values[one[0]]); })) {
        found.push([document, Math.floor(score * rules.micro + 0.5)]);
      }
    }
    found.sort(function (a, b) { return b[1] - a[1] || a[0] - b[0]; });
    return { found: found, corrected: corrected, missing: missing };
  }

  /* Ref, title, url and summary of the n-th document of a file of titles. */
  function shownOf(told, n) {
    let ref = "";
    for (let i = 0; i <= n; i++) ref = added(ref, told[4 * i]);
    return [ref, told[4 * n + 1], added(ref, told[4 * n + 2]), told[4 * n + 3]];
  }

  async function search(line, filters, limit) {
    const answer = await rank(line, filters);
    const shown = answer.found.slice(0, limit === undefined ? 20 : limit);
    const hits = await Promise.all(shown.map(async function (one) {
      const block = rules.titles[rowFor(rules.titles, one[0])];
      const row = shownOf(await load(block[1]), one[0] - block[0]);
      const facets = rules.facets[rules.facet[one[0]]][0];
      return {
        ref: row[0], title: row[1], url: row[2], summary: row[3], score: one[1] / rules.micro,
        kind: facets[0], zone: facets[1], grade: facets[2],
      };
    }));
    return {
      hits: hits, total: answer.found.length, corrected: answer.corrected, missing: answer.missing,
    };
  }

  Object.assign(window.RecordSearch, { fold: fold, open: open, search: search, take: take });
})();
