"""The page of rights and credits, and its table: every item, each answer, each wording."""

from __future__ import annotations

import csv
import io
from datetime import date

from small_records import BASE, photo

from archive.audience.crew import crew_view
from archive.core.cells import harmless
from archive.read.load import load
from archive.reasoning.weigh import weigh
from archive.site.context import Context
from archive.site.pages import site_of
from archive.site.render import render
from archive.site.rights import pages, rights_table

TEXT = BASE + photo("one", "print") + photo("two") + """
== sources/print.md ==
---
title: "=Print"
number: "-3"
citation: {type: graphic, issued: 1932}
rights:
  basis: permission
  holder: "@archive"
  credit: The <b>archive</b>
  grants:
    - {use: panel, until: 2027-05-01, owes: A copy, letter: zz-secret}
    - {use: web, credit: "The archive, on the web"}
---
== sources/zz-secret.md ==
---
title: ZZ-SECRET
citation: {type: personal_communication, author: X, issued: 1932}
sealed: yes
---
"""  # fmt: skip


def context_of(content) -> Context:
    library = load(content(TEXT)).library
    view = crew_view(library, weigh(library), (), {}, date(2027, 1, 1))
    return Context(view, {}, site_of(view))


def test_the_page_tells_what_ends_what_is_owed_and_the_wordings(content):
    context = context_of(content)
    (page,) = pages(context)
    html = render(page).decode()
    assert "1 May 2027" in html and "A copy" in html
    assert "The &lt;b&gt;archive&lt;/b&gt;" in html and "The archive, on the web" in html
    assert "zz-secret" not in html.lower()
    assert "It names no source" in html


def test_the_table_holds_a_line_for_each_item_and_use_and_no_formula(content):
    data = rights_table(context_of(content))
    assert b"zz-secret" not in data.lower()
    rows = list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"))))
    assert [(row["record"], row["use"], row["answer"]) for row in rows[:3]] == [
        ("sources/print", "panel", "permitted"),
        ("sources/print", "print", "withheld"),
        ("sources/print", "web", "permitted"),
    ]
    assert rows[0]["title"] == "'=Print" and rows[0]["holder"] == "'@archive"
    for row in rows:
        assert not any(cell.startswith(("=", "+", "-", "@")) for cell in row.values())


def test_what_a_sheet_takes_for_a_formula_is_text():
    """The beginnings that OWASP names (page "CSV Injection"), also behind spaces and quotes."""
    for mark in "=+-@\t\r\n\uff1d\uff0b\uff0d\uff20":
        for before in ("", " ", '"', "' ", "\u00a0"):
            assert harmless(f"{before}{mark}1").startswith("'")
    assert harmless("7 +/- 1") == "7 +/- 1"
