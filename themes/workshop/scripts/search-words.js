/* Words for the search page: folding, stems, slips and the numbers of the index files.

   Each step answers to one of the same name in the program's search package, which explains it.
   Loaded before search-index.js, which adds to the same global. */
(function () {
  "use strict";

  /* ---- numbers in one character or two (codec) ---- */

  const VALUE = new Uint8Array(128);
  for (let code = 35, value = 0; code < 127; code++) {
    if (code !== 92 && code !== 96) VALUE[code] = value++;
  }
  let at = 0;

  function number(text, short) {
    const lead = VALUE[text.charCodeAt(at++)];
    if (lead < short) return lead;
    if (lead < 86) return short + (lead - short) * 90 + VALUE[text.charCodeAt(at++)];
    let rest = 0;
    for (let digits = lead - 84; digits; digits--) rest = rest * 90 + VALUE[text.charCodeAt(at++)];
    return rest + short + (86 - short) * 90 + [0, 8100, 737100][lead - 86];
  }

  function numbers(text, short) {
    const values = [];
    for (at = 0; at < text.length;) values.push(number(text, short));
    return values;
  }

  /* Calls each(document, how often, places) for every document; places only if asked for.
     `short` holds the bounds of one character: shortStep and shortPlace of the manifest. */
  function postings(text, short, withPlaces, each) {
    const shortStep = short.shortStep, shortPlace = short.shortPlace;
    let document = 0;
    for (at = 0; at < text.length;) {
      document += number(text, shortStep);
      let count = 1;
      if (VALUE[text.charCodeAt(at)] === 89) { at++; count = number(text, shortPlace); }
      const places = withPlaces ? [] : null;
      for (let left = count, place = 0; left; left--) {
        place += number(text, shortPlace);
        if (places) places.push(place);
      }
      const next = at;
      each(document, count, places);
      at = next;
    }
  }

  /* Undoes "what it adds to the last". */
  function added(last, told) {
    return last.slice(0, told.charCodeAt(0) - 65) + told.slice(1);
  }

  /* ---- words ---- */

  const CHAIN = /[\p{L}\p{N}]+(?:[-./_][\p{L}\p{N}]+)*/gu;
  const PIECE = /[-./_]/;
  const PLAIN = /^[\p{L}\p{N}]+$/u;
  const LETTERS = /^\p{L}+$/u;

  /* `letters` says what single characters become; it comes with the manifest. */
  function fold(text, letters) {
    text = text.toLowerCase().normalize("NFKD").toLowerCase().replace(/[\u0300-\u036f]/g, "");
    text = text.replace(/[\u{10000}-\u{10ffff}]/gu, " ");
    return text.replace(/[^\0-\x26\x28-\x7f]|'/g, function (letter) {
      const other = letters[letter];
      return other === undefined ? letter : other;
    });
  }

  function chains(folded) { return folded.match(CHAIN) || []; }
  function pieces(chain) { return chain.split(PIECE); }
  function compact(folded) { return chains(folded).flatMap(pieces).join(""); }
  function isPlain(chain) { return PLAIN.test(chain); }
  function isLetters(chain) { return LETTERS.test(chain); }

  /* Porter's stemmer with the departures of the library that makes the index. */
  const C = "[^aeiouy]+", V = "[aeiou]+";
  const mgr0 = new RegExp("^(" + C + ")?" + V + C);
  const meq1 = new RegExp("^(" + C + ")?" + V + C + "(" + V + ")?$");
  const mgr1 = new RegExp("^(" + C + ")?" + V + C + V + C);
  const hasVowel = new RegExp("^(" + C + ")?[aeiouy]");
  const shortEnd = new RegExp("^" + C + "[aeiouy][^aeiouwxy]$");
  const STEP2 = {
    ational: "ate", tional: "tion", enci: "ence", anci: "ance", izer: "ize", bli: "ble", alli: "al",
    entli: "ent", eli: "e", ousli: "ous", ization: "ize", ation: "ate", ator: "ate", alism: "al",
    iveness: "ive", fulness: "ful", ousness: "ous", aliti: "al", iviti: "ive", biliti: "ble", logi: "log",
  };
  const STEP3 = { icate: "ic", ative: "", alize: "al", iciti: "ic", ical: "ic", ful: "", ness: "" };
  const step2 = new RegExp("^(.+?)(" + Object.keys(STEP2).join("|") + ")$");
  const step3 = new RegExp("^(.+?)(" + Object.keys(STEP3).join("|") + ")$");
  const step4 = /^(.+?)(al|ance|ence|er|ic|able|ible|ant|ement|ment|ent|ou|ism|ate|iti|ous|ive|ize)$/;

  function stem(word) {
    if (word.length < 3 || !/^[a-z]+$/.test(word)) return word;
    const yFirst = word[0] === "y";
    let w = yFirst ? "Y" + word.slice(1) : word, m;
    if (w.endsWith("sses") || w.endsWith("ies")) w = w.slice(0, -2);
    else if (w.endsWith("s") && w[w.length - 2] !== "s") w = w.slice(0, -1);
    if (w.endsWith("eed")) {
      if (mgr0.test(w.slice(0, -3))) w = w.slice(0, -1);
    } else if ((m = /^(.*)(ed|ing)$/.exec(w)) && hasVowel.test(m[1])) {
      w = m[1];
      /* The library asks these two of the whole word, not of its end: "fitting" stays "fitt". */
      if (/^(at|bl|iz)$/.test(w)) w += "e";
      else if (/^([^aeiouylsz])\1$/.test(w)) w = w.slice(0, -1);
      else if (shortEnd.test(w)) w += "e";
    }
    if (w.endsWith("y") && hasVowel.test(w.slice(0, -1))) w = w.slice(0, -1) + "i";
    if ((m = step2.exec(w)) && mgr0.test(m[1])) w = m[1] + STEP2[m[2]];
    if ((m = step3.exec(w)) && mgr0.test(m[1])) w = m[1] + STEP3[m[2]];
    if ((m = step4.exec(w))) {
      if (mgr1.test(m[1])) w = m[1];
    } else if ((m = /^(.+?)(s|t)ion$/.exec(w)) && mgr1.test(m[1] + m[2])) {
      w = m[1] + m[2];
    }
    if ((m = /^(.+?)e$/.exec(w)) &&
        (mgr1.test(m[1]) || (meq1.test(m[1]) && !shortEnd.test(m[1])))) w = m[1];
    if (w.endsWith("ll") && mgr1.test(w)) w = w.slice(0, -1);
    return yFirst ? "y" + w.slice(1) : w;
  }

  function distance(one, other, limit) {
    if (Math.abs(one.length - other.length) > limit) return limit + 1;
    let oldest, before = [], row = [];
    for (let j = 0; j <= other.length; j++) row.push(j);
    for (let i = 1; i <= one.length; i++) {
      oldest = before; before = row; row = [i];
      let least = i;
      for (let j = 1; j <= other.length; j++) {
        const same = one[i - 1] === other[j - 1];
        let cost = Math.min(before[j] + 1, row[j - 1] + 1, before[j - 1] + (same ? 0 : 1));
        if (i > 1 && j > 1 && one[i - 1] === other[j - 2] && one[i - 2] === other[j - 1]) {
          cost = Math.min(cost, oldest[j - 2] + 1);
        }
        row.push(cost);
        if (cost < least) least = cost;
      }
      if (least > limit) return limit + 1;
    }
    return row[other.length];
  }

  window.RecordSearch = {
    codec: { added: added, numbers: numbers, postings: postings },
    words: {
      chains: chains, compact: compact, distance: distance, fold: fold, isLetters: isLetters,
      isPlain: isPlain, pieces: pieces, stem: stem,
    },
  };
})();
