"""What is withheld is nowhere in the public's site: words, pixels, names, sums, order, numbers.

The scanner is itself tested twice: on words planted in every channel and encoding, and on the
crew's site of the same folder, which carries them.
"""

from __future__ import annotations

import random
import shutil
from datetime import date
from pathlib import Path

import pytest
from canaries import Words, found_in, planted, sums_of, words_in, write
from PIL import Image

from archive.audience.crew import crew_view
from archive.audience.public import public_problems, public_view
from archive.audience.view import View
from archive.pipeline import originality, weigh
from archive.publish import handover
from archive.publish.inputs import Fingerprint
from archive.publish.site import publish
from archive.site.pages import pages

DAY = date(2027, 1, 1)


def built(folder: Path, out: Path, audience: str = "public", cache: Path | None = None) -> View:
    """Build the site of a folder without the command, in this process."""
    weighed = weigh(folder, compare=0)
    if audience == "public":
        view = public_view(
            weighed.library, weighed.findings, weighed.images, DAY, originality(weighed)
        )
        assert public_problems(weighed.library, view, weighed.problems) == []
    else:
        view = crew_view(weighed.library, weighed.findings, weighed.problems, weighed.images, DAY)
    nothing = Fingerprint("0" * 64, False)
    publish(view, folder, weighed.pictures, out, cache, nothing, lambda what, done, total: None)
    return view


def tree(folder: Path) -> dict[str, bytes]:
    """Every file of a site."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


@pytest.fixture(scope="module")
def made(tmp_path_factory) -> tuple[Words, Path, Path, View]:
    top = tmp_path_factory.mktemp("canaries")
    words = Words(1)
    write(top / "content", words)
    view = built(top / "content", top / "public")
    return words, top / "content", top / "public", view


def test_no_secret_word_is_in_the_public_site(made):
    words, _, site, _ = made
    assert len(words.places) > 220
    assert {words.places[word]: file for word, file in found_in(site).items()} == {}


def test_the_public_site_shows_what_it_may(made):
    _, _, site, _ = made
    names = set(tree(site))
    assert {"parts/chine.html", "photos/shown.html", "stories/told.html"} <= names
    assert "de/stories/told.html" in names
    assert "It also rests on evidence that may not be shown here." in (
        site / "parts/chine.html"
    ).read_text("utf-8")
    assert "The Museum, by kind leave" in (site / "credits.html").read_text("utf-8")


def test_no_sum_size_or_path_of_a_withheld_file_is_in_it(made):
    _, content, site, _ = made
    files = [path for path in content.rglob("*") if path.is_file()]
    whole = b"\n".join(name.encode() + data for name, data in tree(site).items()).lower()
    assert [what for what, start in sums_of(files).items() if start in whole] == []
    assert str(content.parent).encode().lower() not in whole


def test_no_picture_but_the_shown_one_is_made(made):
    _, _, site, view = made
    assert list(view.images) == ["shown"]
    assert all(path.name.startswith("shown-") for path in (site / "pictures").iterdir())


def test_a_withheld_place_is_flat_in_every_size(made):
    """Within the outline, at every size, the picture is one grey: max - min is at most 2."""
    _, _, site, _ = made
    for path in (site / "pictures").iterdir():
        with Image.open(path) as picture:
            scale = picture.width / 900
            box = tuple(round(edge * scale) for edge in (40, 40, 200, 160))
            low, high = picture.convert("L").crop(box).getextrema()
            assert high - low <= 2, path.name


def test_nothing_in_the_view_carries_a_word_either(made):
    words, _, _, view = made
    told = repr((view.library, view.findings, view.rights, view.terms, view.originality))
    assert {words.places[word] for word in words_in(told.encode())} == set()


def test_the_scanner_finds_what_is_planted_in_every_channel_and_encoding(tmp_path):
    missed = []
    count = 0
    for word, what, name, data in planted(Words(3)):
        count += 1
        place = tmp_path / str(count) / name
        place.parent.mkdir(parents=True)
        place.write_bytes(data)
        if word not in found_in(tmp_path / str(count)):
            missed.append(what)
    assert missed == [] and count >= 45 * 5


def test_the_scanner_finds_the_words_that_the_crews_site_carries(tmp_path):
    """The crew's pages are asked, before they are written, which words they hold."""
    words = Words(4)
    write(tmp_path / "content", words)
    for path in (tmp_path / "content").rglob("*"):
        if path.suffix in (".md", ".yaml") and path.is_file():
            path.write_text(path.read_text("utf-8").replace('"sealed": yes', '"sealed": no'))
    view = built(tmp_path / "content", tmp_path / "crew", "crew")
    carried = set()
    for page in pages(view, {}):
        carried |= words_in(repr(page).encode())
    found = found_in(tmp_path / "crew")
    assert len(carried) >= 150
    assert len(carried & set(found)) >= 0.99 * len(carried)


def exported(folder: Path, out: Path) -> dict[str, bytes]:
    """Every export that the public may have, of a folder."""
    weighed = weigh(folder, compare=0)
    view = public_view(weighed.library, weighed.findings, weighed.images, DAY, originality(weighed))
    found = dict(handover.exports(view, "https://museum.example/"))
    shutil.rmtree(out, ignore_errors=True)
    handover.write_iiif(
        view, weighed.pictures, out / "iiif", "https://museum.example/", out / "made"
    )
    return found | {f"iiif/{name}": data for name, data in tree(out / "iiif").items()}


def test_no_secret_word_is_in_a_public_export_and_changing_them_changes_no_byte(made, tmp_path):
    words, content, _, _ = made
    before = exported(content, tmp_path / "out")
    leaked = {
        words.places[word]: name
        for name, data in before.items()
        for word in words_in(name.encode() + b"\n" + data)
    }
    assert leaked == {}
    assert any(name.endswith("/0/0_0.jpg") or name.endswith(".jpg") for name in before)
    for seed in (1, 2):
        folder = spoilt(content, tmp_path / "content", seed)
        shutil.copy(content / "photos" / "shown.jpg", folder / "photos" / "shown.jpg")
        after = exported(folder, tmp_path / "out")
        assert {name for name in before | after if before.get(name) != after.get(name)} == set()


def spoilt(content: Path, place: Path, seed: int) -> Path:
    """The folder with everything withheld changed, and nothing else; with new names every other
    time."""
    words = Words(1000 + seed)
    hidden = f"zq{seed:010x}" if seed % 2 else sorted((content / "measurements").iterdir())[0].stem
    shutil.rmtree(place, ignore_errors=True)
    write(place, words, hidden, random.Random(seed))
    if seed % 5 == 4:  # one withheld record more, on which nothing leans
        extra = place / "sources" / f"extra-{seed}.md"
        extra.write_text("---\ntitle: E\ncitation: {type: graphic}\n---\n", "utf-8")
    return place


def same_bytes(made, tmp_path, seeds) -> list[int]:
    _, content, site, _ = made
    before = tree(site)
    differing = []
    for seed in seeds:
        folder = spoilt(content, tmp_path / "content", seed)
        shutil.copy(content / "photos" / "shown.jpg", folder / "photos" / "shown.jpg")
        shutil.rmtree(tmp_path / "site", ignore_errors=True)
        built(folder, tmp_path / "site")
        if tree(tmp_path / "site") != before:
            differing.append(seed)
    return differing


def test_changing_only_what_is_withheld_changes_no_byte(made, tmp_path):
    assert same_bytes(made, tmp_path, range(5)) == []


@pytest.mark.full
def test_changing_only_what_is_withheld_changes_no_byte_in_fifty_ways(made, tmp_path):
    assert same_bytes(made, tmp_path, range(50)) == []


def test_changing_what_is_shown_does_change_it(made, tmp_path):
    """The comparison can fail: one word of a shown record is enough."""
    _, content, site, _ = made
    shutil.copytree(content, tmp_path / "content")
    part = tmp_path / "content" / "parts" / "chine.md"
    part.write_text(part.read_text("utf-8").replace("ran along", "went along"), "utf-8")
    built(tmp_path / "content", tmp_path / "site")
    assert tree(tmp_path / "site") != tree(site)


def test_consent_taken_back_leaves_nothing_of_the_last_build(made, tmp_path):
    """Revocation: the next build into the same folder, with its cache, drops page and picture."""
    _, content, _, _ = made
    shutil.copytree(content, tmp_path / "content")
    out, cache = tmp_path / "site", tmp_path / "cache"
    built(tmp_path / "content", out, cache=cache)
    assert (out / "photos/shown.html").exists() and list((out / "pictures").iterdir())
    source = tmp_path / "content" / "sources" / "shown.md"
    source.write_text(source.read_text("utf-8").replace("use: web", "use: panel"), "utf-8")
    built(tmp_path / "content", out, cache=cache)
    left = tree(out)
    assert not any("shown" in name for name in left)
    whole = b"".join(data for name, data in left.items() if name.endswith(".html"))
    assert b"The Museum, by kind leave" not in whole and b"photos/shown" not in whole


def test_what_is_sealed_is_not_in_the_crews_site_either(tmp_path):
    words = Words(6)
    write(tmp_path / "content", words, "zq0000000001")
    for kind in ("sources", "photos"):
        path = tmp_path / "content" / kind / "zq0000000001.md"
        path.write_text(path.read_text("utf-8").replace("\n---\n", ', "sealed": yes\n---\n', 1))
        text = path.read_text("utf-8")
        path.write_text(text.replace('}, "sealed": yes', ', "sealed": yes}'), "utf-8")
    view = built(tmp_path / "content", tmp_path / "crew", "crew")
    assert "zq0000000001" not in view.library.sources
    found = found_in(tmp_path / "crew")
    ours = {word for word, place in words.places.items() if place.startswith("shown record")}
    leaked = {words.places.get(word, word): found[word] for word in set(found) - ours}
    assert leaked == {}
    quoted = {place for word, place in words.places.items() if "QUOTE" in place and word in found}
    assert quoted == set()
