"""The search page in Chromium, from files, under a policy that allows the site's scripts alone."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from archive.search.documents import Document
from archive.search.find import look
from archive.search.index import open_index, stem
from archive.search.shards import export
from archive.search.words import fold

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

SCRIPTS = Path(__file__).parents[2] / "themes" / "workshop" / "scripts"
POLICY = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; base-uri 'none'"
PAGE = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>Search</title>
<meta http-equiv="Content-Security-Policy" content="{policy}">
<script defer src="../scripts/search-words.js"></script>
<script defer src="../scripts/search-index.js"></script>
<script defer src="../scripts/search.js"></script></head><body>
<form data-search="../find/" data-root="../" role="search">
<input type="search" name="q" aria-label="Words">
<select name="kind" aria-label="Kind"><option value="">any</option>
<option value="photo">photographs</option><option value="part">parts</option></select>
<select name="grade" aria-label="Grade"><option value="">any</option>
<option value="on the airframe">on the airframe</option></select>
<p data-search-status role="status" aria-live="polite"></p>
<ol data-search-results></ol>
<button type="button" data-search-more hidden>Show more</button>
</form></body></html>
"""
COUNT = 400


@pytest.fixture(scope="module")
def documents(made_archive: Callable[..., list[Document]]) -> list[Document]:
    sly = Document(
        "notes/sly",
        "question",
        "<img src=x onerror=alert(1)>",
        "Sly wording </script>",
        url="notes/sly.html",
        summary="<b>bold</b> & “quoted”",
    )
    return [*made_archive(COUNT), sly]


@pytest.fixture(scope="module")
def site(documents: list[Document], tmp_path_factory: pytest.TempPathFactory) -> Path:
    return laid_out(tmp_path_factory.mktemp("a site é"), documents)


def laid_out(root: Path, documents: list[Document]) -> Path:
    """Write the scripts, the index and the page; give the page."""
    for folder in ("scripts", "find", "pages"):
        (root / folder).mkdir()
    for script in SCRIPTS.glob("search*.js"):
        (root / "scripts" / script.name).write_bytes(script.read_bytes())
    for name, content in export(documents).items():
        (root / "find" / name).write_bytes(content)
    path = root / "pages" / "search.html"
    path.write_text(PAGE.format(policy=POLICY), encoding="utf-8")
    return path


def until(page: Page, true: str) -> None:
    """Wait for an expression to hold. (The browser driver's own wait falls foul of the policy.)"""
    for _ in range(200):
        if page.evaluate(true):
            return
        page.wait_for_timeout(25)
    raise AssertionError(f"never came true: {true}")


@pytest.fixture
def page(browser: Browser, site: Path) -> Iterator[Page]:
    opened = browser.new_page()
    troubles: list[str] = []
    opened.on("console", lambda said: troubles.append(said.text))
    opened.on("pageerror", lambda error: troubles.append(str(error)))
    opened.goto(site.as_uri())
    until(opened, "RecordSearch.search !== undefined")
    yield opened
    opened.close()
    assert troubles == []


def test_stems_are_those_of_the_index(page: Page, documents: list[Document]) -> None:
    endings = [
        "s",
        "es",
        "ed",
        "ing",
        "eed",
        "ies",
        "sses",
        "ational",
        "tional",
        "enci",
        "anci",
        "izer",
        "bli",
        "alli",
        "entli",
        "eli",
        "ousli",
        "ization",
        "ation",
        "ator",
        "alism",
        "iveness",
        "fulness",
        "ousness",
        "aliti",
        "iviti",
        "biliti",
        "logi",
        "icate",
        "ative",
        "alize",
        "iciti",
        "ical",
        "ful",
        "ness",
        "al",
        "ance",
        "ence",
        "er",
        "ic",
        "able",
        "ible",
        "ant",
        "ement",
        "ment",
        "ent",
        "ion",
        "sion",
        "tion",
        "ou",
        "ism",
        "ate",
        "iti",
        "ous",
        "ive",
        "ize",
        "e",
        "ll",
        "lled",
        "y",
        "ying",
    ]
    starts = [
        "fitt",
        "rib",
        "y",
        "ya",
        "yell",
        "sky",
        "cr",
        "tr",
        "re",
        "rel",
        "vile",
        "plan",
        "hop",
        "happ",
        "controll",
        "roll",
        "ee",
        "feed",
        "agr",
        "sens",
        "form",
        "motor",
        "fabr",
        "dop",
        "conflat",
        "size",
        "fizz",
        "bb",
        "oxy",
        "yy",
        "aeiou",
        "strengthen",
        "x",
    ]
    words = {
        start + one + two for start, one, two in itertools.product(starts, endings, ["", *endings])
    }
    words |= {word for one in documents for word in fold(one.text).split()}
    words |= {"", "a", "is", "ys", "øst", "p114", "straße"}
    ordered = sorted(words)
    assert len(ordered) > 50_000
    theirs = page.evaluate("words => words.map(RecordSearch.words.stem)", ordered)
    assert theirs == [stem(word) for word in ordered]


# From the examples printed with the algorithm (Porter, "An algorithm for suffix stripping", 1980;
# from memory): those in which the library agrees with the paper.
PAPER = (
    "caresses caress|ponies poni|cats cat|feed feed|agreed agre|plastered plaster|bled bled|"
    "motoring motor|sing sing|conflated conflat|sized size|falling fall|"
    "happy happi|sky sky|relational relat|conditional condit|digitizer digit|triplicate triplic|"
    "hopeful hope|goodness good|revival reviv|allowance allow|inference infer|adjustable adjust|"
    "replacement replac|adoption adopt|effective effect|probate probat|rate rate|roll roll"
)


def test_stems_are_those_of_the_paper(page: Page) -> None:
    pairs = [pair.split() for pair in PAPER.split("|")]
    theirs = page.evaluate(
        "words => words.map(RecordSearch.words.stem)", [word for word, _ in pairs]
    )
    assert theirs == [wanted for _, wanted in pairs] == [stem(word) for word, _ in pairs]


def test_the_page_and_the_command_find_the_same_in_the_same_order(
    page: Page, documents: list[Document], made_lines: Callable[..., list[str]]
) -> None:
    index = open_index(documents)
    lines = made_lines(500)
    facets: list[dict[str, str]] = [{}, {}, {"kind": "photo"}, {"zone": "300", "grade": "seen"}]
    asked = [[line, facets[turn % 4]] for turn, line in enumerate(lines)]
    theirs = page.evaluate(
        """async asked => {
            const all = [];
            for (const [line, facets] of asked) {
                all.push(await RecordSearch.search(line, facets, 1e6));
            }
            return all;
        }""",
        asked,
    )
    kinds = {"hits": 0, "corrected": 0, "missing": 0}
    for (line, chosen), their in zip(asked, theirs, strict=True):
        ours = look(index, line, limit=10**6, **chosen)
        assert their["total"] == ours.total, line
        assert [hit["ref"] for hit in their["hits"]] == [hit.ref for hit in ours.hits], line
        assert their["hits"] == [hit.as_json() for hit in ours.hits], line
        assert their["corrected"] == [[typed, list(words)] for typed, words in ours.corrected], line
        assert their["missing"] == list(ours.missing), line
        kinds["hits"] += ours.total > 0
        kinds["corrected"] += bool(ours.corrected)
        kinds["missing"] += bool(ours.missing)
    assert kinds["hits"] > 250
    assert kinds["corrected"] > 20
    assert kinds["missing"] > 10


def test_folding_is_the_same(page: Page) -> None:
    samples = [chr(code) for code in range(0x20, 0x3000)] + ["Öl’s ½–¾ “x” ﬁn İ ΣΑΣ 𝐁 🛩", "\u00ad-"]
    # Characters newer than either side's tables are left out: they differ between versions.
    import unicodedata

    samples = [s for s in samples if all(unicodedata.category(c) not in ("Cn", "Cs") for c in s)]
    until(page, "RecordSearch.open().then(() => true)")
    theirs = page.evaluate(
        "all => all.map(s => RecordSearch.words.chains(RecordSearch.fold('a' + s + 'b')))", samples
    )
    from archive.search.words import chains

    assert theirs == [chains(fold(f"a{sample}b")) for sample in samples]


def shown(page: Page) -> list[str]:
    return page.locator("[data-search-results] a").all_inner_texts()


def test_typing_shows_hits_and_says_how_many(page: Page, documents: list[Document]) -> None:
    index = open_index(documents)
    page.fill("input", "strut")
    page.wait_for_selector("[data-search-results] li")
    wanted = look(index, "strut")
    assert shown(page) == [hit.title for hit in wanted.hits]
    link = page.locator("[data-search-results] a").first
    assert link.get_attribute("href") == f"../{wanted.hits[0].url}"
    status = page.locator("[data-search-status]")
    assert status.inner_text() == f"{wanted.total} records, the first 20 shown."
    page.click("[data-search-more]")
    until(page, "document.querySelectorAll('[data-search-results] li').length > 20")
    page.select_option("select[name=kind]", "photo")
    until(page, "location.hash.includes('kind=photo')")
    total = look(index, "strut", kind="photo").total
    until(
        page,
        f"document.querySelector('[data-search-status]').textContent.startsWith('{total} ')",
    )


def test_the_keys_walk_through_the_hits(page: Page) -> None:
    page.fill("input", "rudder")
    page.wait_for_selector("[data-search-results] li")
    where = (
        "(here => here.tagName + [...document.querySelectorAll('a')].indexOf(here))"
        "(document.activeElement)"
    )
    seen = []
    page.focus("input")
    for key in ["ArrowDown", "ArrowDown", "ArrowUp", "ArrowUp", "ArrowDown", "Escape"]:
        page.keyboard.press(key)
        seen.append(page.evaluate(where))
    assert seen == ["A0", "A1", "A0", "INPUT-1", "A0", "INPUT-1"]


@pytest.mark.parametrize("tail", ["?q=rudder&kind=part", "#q=rudder&kind=part"])
def test_the_words_may_come_with_the_address(browser: Browser, site: Path, tail: str) -> None:
    page = browser.new_page()
    page.goto(site.as_uri() + tail)
    page.wait_for_selector("[data-search-results] li")
    assert page.input_value("input") == "rudder"
    assert page.input_value("select[name=kind]") == "part"
    assert all("part" in text for text in page.locator(".search-facts").all_inner_texts())
    page.close()


def test_what_a_record_says_is_never_markup(page: Page) -> None:
    page.fill("input", "sly wording")
    page.wait_for_selector("[data-search-results] li")
    assert shown(page) == ["<img src=x onerror=alert(1)>"]
    assert page.locator("[data-search-results] p").inner_text() == "<b>bold</b> & “quoted”"
    assert page.locator("[data-search-results] :is(img, b)").count() == 0


def test_a_misspelling_is_put_right_and_said(page: Page) -> None:
    page.fill("input", "ruder")
    page.wait_for_selector("[data-search-results] li")
    said = page.locator("[data-search-status]").inner_text()
    assert said.startswith("Nothing has “ruder”; looked for rudder.")


def test_nothing_found_proposes_the_rest(page: Page) -> None:
    page.fill("input", "rudder zzqqxx")
    page.wait_for_selector(".search-instead")
    said = page.locator("[data-search-status]").inner_text()
    assert said == "Nothing has “zzqqxx”. Nothing found. Did you mean rudder?"
    page.click(".search-instead")
    page.wait_for_selector("[data-search-results] li")
    assert page.input_value("input") == "rudder"


def test_a_missing_index_is_told(browser: Browser, site: Path, tmp_path: Path) -> None:
    (tmp_path / "scripts").mkdir()
    for script in SCRIPTS.glob("search*.js"):
        (tmp_path / "scripts" / script.name).write_bytes(script.read_bytes())
    (tmp_path / "pages").mkdir()
    (tmp_path / "pages" / "search.html").write_text(site.read_text("utf-8"), "utf-8")
    page: Any = browser.new_page()
    page.goto((tmp_path / "pages" / "search.html").as_uri())
    until(page, "document.querySelector('[data-search-status]').textContent !== ''")
    assert "manifest.js" in page.locator("[data-search-status]").inner_text()
    page.close()


@pytest.mark.parametrize("count", [0, 1, 2])
def test_a_small_archive_is_searched_alike(
    browser: Browser, made_archive: Callable[..., list[Document]], count: int, tmp_path: Path
) -> None:
    documents = made_archive(count)
    page = browser.new_page()
    page.goto(laid_out(tmp_path, documents).as_uri())
    until(page, "RecordSearch.open().then(() => true)")
    index = open_index(documents)
    for line in [
        "strut",
        "s*",
        "kind:photo kind:part",
        '"the port"',
        "misspeltt",
        "wheel-pants",
        "",
    ]:
        their = page.evaluate("line => RecordSearch.search(line)", line)
        ours = look(index, line)
        assert their["hits"] == [hit.as_json() for hit in ours.hits]
        assert (their["total"], their["missing"]) == (ours.total, list(ours.missing))
    page.close()


def test_every_kind_of_line_in_one_long_line_ends_soon(page: Page) -> None:
    line = 'strut "' * 300 + "a*" + "ø-" * 3000 + "x" * 9000
    assert page.evaluate("line => RecordSearch.search(line)", line)["total"] == 0
