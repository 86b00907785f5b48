"""Notes become HTML that can't run, fetch, or leave without a word."""

from __future__ import annotations

import re
import time
from html.parser import HTMLParser

import pytest

from archive.site.markdown import LONGEST, rendered

HERE = {"parts/strut", "photos/slipway#port-strut", "sources/letter"}


def page(text: str) -> str:
    return str(rendered(text, lambda ref: f"../{ref}.html" if ref in HERE else None))


HOSTILE = [
    "<script>alert(1)</script>",
    "<SCRIPT SRC=//e.example/x.js></SCRIPT>",
    "<img src=x onerror=alert(1)>",
    "<img src='//e.example/t.gif'>",
    "![x](//e.example/t.gif)",
    "![x](https://e.example/t.gif)",
    "<svg onload=alert(1)><script>alert(1)</script></svg>",
    "<svg><a xlink:href='javascript:alert(1)'>x</a></svg>",
    "<math><mtext></mtext><mglyph><style><img src onerror=alert(1)></style></math>",
    "<iframe src='https://e.example'></iframe>",
    "<object data='x.swf'></object><embed src=x>",
    "<a href='javascript:alert(1)'>x</a>",
    "<a href='JaVaScRiPt:alert(1)'>x</a>",
    "<a href='java\tscript:alert(1)'>x</a>",
    "<a href='&#106;avascript:alert(1)'>x</a>",
    "[x](javascript:alert(1))",
    "[x](<javascript:alert(1)>)",
    "[x](data:text/html;base64,PHNjcmlwdD4=)",
    "[x](vbscript:msgbox)",
    "[x](file:///etc/passwd)",
    "[x](//e.example/x)",
    "[x](\\\\e.example\\x)",
    "<a href='//e.example'>x</a>",
    "<p style='background:url(//e.example)'>x</p>",
    "<style>@import url(//e.example)</style>",
    "<link rel=stylesheet href=//e.example>",
    "<meta http-equiv=refresh content='0;url=//e.example'>",
    "<base href='//e.example/'>",
    "<form action='//e.example'><input name=q></form>",
    "<video poster='//e.example/p.png'></video>",
    "<audio src='//e.example/a.mp3'></audio>",
    "<p onclick=alert(1)>x</p>",
    "{: onclick=alert(1) }",
    "<!--><img src=x onerror=alert(1)>-->",
    "<noscript><p title='</noscript><img src=x onerror=alert(1)>'></noscript>",
    "`<script>alert(1)</script>`",
    "    <script>alert(1)</script>",
    '"><script>alert(1)</script>',
    '[x](parts/strut"onmouseover=alert(1))',
    "<a name=x id=_main class=skip href='parts/strut'>x</a>",
    "<table background='//e.example'><tr><td>x</td></tr></table>",
]


class Seen(HTMLParser):
    """Every tag and attribute that a browser would find."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]


def seen(html: str) -> Seen:
    parser = Seen()
    parser.feed(html)
    return parser


@pytest.mark.parametrize("text", HOSTILE)
def test_nothing_hostile_is_left(text: str) -> None:
    found = seen(page(text))
    assert not {
        "script",
        "img",
        "svg",
        "iframe",
        "style",
        "link",
        "meta",
        "base",
        "form",
        "input",
        "object",
        "embed",
        "video",
        "audio",
        "math",
        "noscript",
    } & set(found.tags)
    for name, value in found.attributes:
        assert name in {"href", "title", "class", "rel", "start", "colspan", "rowspan", "scope"}
        if name == "href":
            assert re.match(r"https?:|mailto:|\.\./|#", value), value


def test_the_table_would_notice() -> None:
    planted = seen("<p onclick=x><script></script></p>")
    assert "script" in planted.tags and ("onclick", "x") in planted.attributes


def test_links_to_records_lead_to_their_pages() -> None:
    html = page("[a](parts/strut) [b](photo/slipway#port-strut) [c](../sources/letter.md)")
    assert re.findall(r'href="([^"]*)"', html) == [
        "../parts/strut.html",
        "../photos/slipway#port-strut.html",
        "../sources/letter.html",
    ]


def test_a_link_to_what_is_not_there_is_its_words() -> None:
    assert page("see [the post](parts/none) now") == "<p>see the post now</p>"


def test_a_link_that_leaves_says_so() -> None:
    html = page("[x](https://example.org/a?b=1&c=2)")
    assert html == (
        '<p><a class="leaves" rel="noopener noreferrer" '
        'href="https://example.org/a?b=1&amp;c=2">x</a></p>'
    )


def test_a_note_has_no_heading_above_the_second_level() -> None:
    assert page("# One\n\n## Two") == "<h2>One</h2>\n<h2>Two</h2>"


@pytest.mark.parametrize(
    "text",
    [
        "[" * 8000,
        "[" * 60_000,
        "`" * 20_000,
        "> " * 20_000,
        "*a " * 20_000,
        "![" * 20_000,
        "- " * 5000,
        "<" * 30_000,
        "[a](" * 8000,
        "_a**" * 10_000,
    ],
)
def test_deep_nesting_ends_soon(text: str) -> None:
    start = time.process_time()
    assert page(text)
    assert time.process_time() - start < 5


def test_a_note_over_a_mebibyte_is_cut_and_says_so() -> None:
    html = page("word " * (LONGEST // 5 + 1))
    assert "too long" in html and len(html) < 30_000
