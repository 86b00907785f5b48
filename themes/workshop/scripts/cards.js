/* Does a card still hold? What is typed is held against the issues that the page lists. */
(function () {
  "use strict";
  const form = document.querySelector("[data-card-check]");
  if (!form) return;
  const typed = form.querySelector("input");
  const answer = form.querySelector("[data-answer]");
  const issues = Array.from(document.querySelectorAll("[data-card]"));
  const LETTERS = 8;
  const CODE = /^[0-9A-HJKMNP-TV-Z]+$/;

  /* The same reading as in core/check_codes.py. */
  function read(text) {
    const pieces = text.trim().toUpperCase().replace(/O/g, "0").replace(/[IL]/g, "1").split(/[\s\-\u2010-\u2015.\u00b7/_]+/).filter(Boolean);
    const whole = pieces.join("");
    const digits = whole.slice(0, -LETTERS);
    const code = whole.slice(-LETTERS);
    if (digits.length < 2 || !/^[0-9]+$/.test(digits) || !CODE.test(code)) return null;
    const apart = pieces.length > 2 && pieces.slice(2).join("") === code;
    return { digits: digits.replace(/^0+/, ""), code, number: apart ? pieces[0].replace(/^0+/, "") : "", issue: apart ? pieces[1].replace(/^0+/, "") : "" };
  }

  function find(asked) {
    let mistaken = "";
    for (const row of issues) {
      const [number, issue, code] = row.dataset.card.split("-");
      if ((number + issue).replace(/^0+/, "") !== asked.digits) continue;
      if (asked.number && (number.replace(/^0+/, "") !== asked.number || issue !== asked.issue)) continue;
      if (code === asked.code) return { row };
      mistaken = `${number}, issue ${issue}`;
    }
    return { mistaken };
  }

  function say(words, hint) {
    const first = document.createElement("p");
    const strong = document.createElement("b");
    strong.textContent = words;
    first.append(strong);
    const second = document.createElement("p");
    second.textContent = hint;
    answer.replaceChildren(first, second);
  }

  function check() {
    const asked = read(typed.value);
    if (!asked) return say("This is no number of a card with its code.", "Type number, issue and the eight letters, such as 0031-2-K7M4QX2H. No code has a U.");
    const { row, mistaken } = find(asked);
    if (row) {
      const copy = row.cloneNode(true);
      copy.removeAttribute("id");
      copy.removeAttribute("data-card");
      for (const inner of copy.querySelectorAll("details")) inner.open = true;
      const title = row.closest("article").querySelector("h3").cloneNode(true);
      const part = row.closest("article").querySelector("h3 + p").cloneNode(true);
      return answer.replaceChildren(title, part, copy);
    }
    if (mistaken) return say(`These aren't the letters of card ${mistaken}.`, "Read it again, letter by letter. If it does read so, don't cut by it.");
    say("These pages don't know this card.", "Don't cut by it. It may have been issued since they were built, or on another computer.");
  }

  form.addEventListener("submit", (event) => {
    event.preventDefault();
    check();
  });
  form.hidden = false;
  document.querySelector("[data-by-hand]").hidden = true;
  const asked = new URLSearchParams(location.search).get("card");
  if (asked) {
    typed.value = asked;
    check();
  }
})();
