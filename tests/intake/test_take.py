"""What a run would take in: files told from what is held, rows paired, records that read clean."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from prints import picture, saved
from small_records import BASE, photo, source

from archive.core.arrivals import Carried
from archive.core.images import ImageFacts
from archive.imaging.arrivals import Arrival
from archive.intake.captions import Row, read_captions
from archive.intake.files import Incoming, gather
from archive.intake.propose import Newcomer, propose
from archive.intake.take import Asked, take
from archive.read.load import load
from archive.read.records import read_record
from archive.records.schema import KINDS
from archive.write.note import text_of

DAY = date(2026, 11, 25)


@pytest.fixture
def taken(content, tmp_path):
    def run(*files: Path, text: str = "", sheet: str = "", **asked):
        folder = content(BASE + text)
        captions = None
        if sheet:
            (tmp_path / "box.csv").write_text(sheet)
            captions = read_captions(tmp_path / "box.csv", "box.csv")
        gathered = gather(files, folder)
        told = Asked(DAY, **{"compare": False, **asked})
        found = take(gathered.files, captions, load(folder), None, told)
        found.problems[:0] = gathered.problems
        return found

    return run


def codes(found):
    return [(p.where.path.rpartition("/")[2], p.code) for p in found.problems if not p.advice]


def test_a_folder_gives_its_pictures_and_each_bad_file_one_problem(taken, tmp_path):
    box = tmp_path / "box"
    saved(box / "b.jpg", 1)
    saved(box / "deep" / "a.tif", 2)
    saved(box / "lying.png", 3, format="JPEG")
    (box / "empty.jpg").write_bytes(b"")
    (box / "page.jpg").write_text("<html>404</html>")
    (box / "cut.jpg").write_bytes((box / "b.jpg").read_bytes()[:300])
    (box / "list.txt").write_text("not taken")
    (box / ".hidden.jpg").write_bytes((box / "b.jpg").read_bytes())
    found = taken(box)
    assert [one.photo for one in found.proposals] == ["b", "lying", "a"]
    assert [one.copy.path for one in found.proposals] == [
        "photos/b.jpg", "photos/lying.jpg", "photos/a.tif",
    ]  # fmt: skip
    assert codes(found) == [
        ("cut.jpg", "image-damaged"),
        ("empty.jpg", "image-empty"),
        ("page.jpg", "image-not-a-picture"),
    ]


def test_a_paper_is_refused_with_the_way_in(taken, tmp_path):
    (tmp_path / "letter.pdf").write_bytes(b"%PDF-1.4")
    found = taken(tmp_path / "letter.pdf", tmp_path / "gone.jpg")
    assert codes(found) == [
        ("letter.pdf", "image-format-refused"), ("gone.jpg", "image-missing"),
    ]  # fmt: skip
    assert "--kind document" in found.problems[0].hint


def test_what_lies_in_the_content_folder_does_not_come_in(taken, content, tmp_path):
    folder = content(BASE)
    saved(folder / "photos" / "alone.jpg")
    assert codes(taken(folder / "photos" / "alone.jpg")) == [("alone.jpg", "file-inside")]
    assert codes(taken(folder)) == []
    same = tmp_path / "alone.png"
    same.write_bytes((folder / "photos" / "alone.jpg").read_bytes())
    found = taken(same, saved(tmp_path / "in" / "alone.png", 9))
    assert [as_ for _, as_, _ in found.held] == ["photos/alone.jpg (without a note)"]
    assert [one.photo for one in found.proposals] == ["alone-2"]


def test_what_is_held_is_named_and_stays_out(taken, content, tmp_path):
    folder = content(BASE)
    held = saved(folder / "photos" / "slip.png", 5)
    same = tmp_path / "copy.png"
    same.write_bytes(held.read_bytes())
    packed = saved(tmp_path / "packed.tif", 5, compression="tiff_lzw")
    turned = tmp_path / "turned.jpg"
    picture(5).transpose(2).save(tmp_path / "turned.png", exif=_turned_left())
    new = saved(tmp_path / "new.png", 6)
    again = saved(tmp_path / "again.tif", 6)
    found = taken(same, packed, tmp_path / "turned.png", new, again, text=photo("slip"))
    assert not turned.exists()
    assert [(one.name, as_, how.split(",")[0]) for one, as_, how in found.held] == [
        ("copy.png", "photos/slip", "the same file"),
        ("packed.tif", "photos/slip", "another file with the very same pixels"),
        ("turned.png", "photos/slip", "another file with the very same pixels"),
        ("again.tif", new.as_posix(), "another file with the very same pixels"),
    ]
    assert [one.photo for one in found.proposals] == ["new"]
    found = taken(packed, text=photo("slip"), held_too=True)
    assert [one.photo for one in found.proposals] == ["packed"] and found.held


def _turned_left():
    from PIL import Image

    exif = Image.Exif()
    exif[274] = 6
    return exif


def test_a_source_that_is_there_is_used_and_another_is_made_once(taken, tmp_path):
    files = [saved(tmp_path / f"{n}.png", n) for n in (1, 2)]
    found = taken(*files, text=source("album"), source="album")
    assert [(p.source, len(p.notes)) for p in found.proposals] == [("album", 1)] * 2
    found = taken(*files, source="roll")
    assert [(p.source, len(p.notes)) for p in found.proposals] == [("roll", 2), ("roll", 1)]
    found = taken(*files)
    assert [(p.source, len(p.notes)) for p in found.proposals] == [("1", 2), ("2", 2)]
    found = taken(*files, kind="as-found")
    assert [(p.source, len(p.notes)) for p in found.proposals] == [("", 1)] * 2


def test_a_row_with_a_mistake_waits_and_the_others_come_in(taken, tmp_path):
    files = [saved(tmp_path / f"{n}.png", ord(n)) for n in "abcde"]
    found = taken(
        *files,
        sheet="file,id,title,date,source,holder,by\n"
        "A.PNG,slip,At the slip,1932,roll,Holm family,HB\n"
        "b,,B,1932-02-30,,,\n"
        "c.png,,C,,roll,,\n"
        "d.png,,D,,roll,Holm family,\n"
        "e.png,,E,,roll,Another,XX\n"
        "f.png,,F,,,,\n",
    )
    assert [(p.photo, p.source, len(p.notes)) for p in found.proposals] == [
        ("slip", "roll", 2), ("c", "roll", 1), ("d", "roll", 1),
    ]  # fmt: skip
    places = [f"{p.where} {p.code}" for p in found.problems]
    assert places == [
        "box.csv:6:7 person-unknown",
        "box.csv:6:6 sheet-source",
        "box.csv:7:1 sheet-file",
    ]
    note, stub = found.proposals[0].notes
    assert (note.fields["title"], note.fields["by"]) == ("At the slip", "HB")
    assert (stub.fields["title"], stub.fields["holder"]) == ("Roll", "Holm family")


def test_rows_of_one_source_tell_of_it_together(taken, tmp_path):
    files = [saved(tmp_path / f"{n}.png", ord(n)) for n in "ab"]
    sheet = "file,source,holder,credit,medium\na.png,roll,,Holm,\nb.png,roll,Holm family,,print\n"
    first = taken(*files, sheet=sheet).proposals[0].notes[1].fields
    assert first["holder"] == "Holm family"
    assert first["rights"] == {"credit": "Holm", "basis": "unknown"}
    assert first["citation"] == {"type": "graphic", "medium": "print"}


def test_a_source_that_is_there_is_left_as_it_is(taken, tmp_path):
    files = [saved(tmp_path / f"{n}.png", ord(n)) for n in "abc"]
    text = source("album", "holder: Holm family\nfirst_hand: yes\ndated: 1932-07")
    sheet = (
        "file,source,holder,first hand,dated,generation\n"
        "a.png,album,Holm family,yes,1932-07,\n"
        "b.png,album,,,,vintage-print\n"
        "c.png,album,,,,vintage-print\n"
    )
    found = taken(*files, text=text, sheet=sheet)
    assert [(p.source, len(p.notes)) for p in found.proposals] == [("album", 1)] * 3
    assert found.problems == []
    found = taken(*files, text=text, sheet=sheet.replace("vintage-print", "halftone"))
    assert [(p.where.line, p.where.column, p.code, p.advice) for p in found.problems] == [
        (3, 6, "sheet-source", True)
    ]
    assert len(found.proposals) == 3


def test_an_id_that_is_taken_is_told(taken, tmp_path):
    files = [saved(tmp_path / "a.png", 1), saved(tmp_path / "b.png", 2)]
    found = taken(*files, text=photo("slip"), sheet="file,id\na.png,slip\nb.png,\n")
    assert [f"{p.where} {p.code}" for p in found.problems] == ["box.csv:2:2 id-taken"]
    assert [p.photo for p in found.proposals] == ["b"]


def test_a_scan_date_goes_to_the_scan_and_never_to_the_photograph(taken, tmp_path):
    from PIL import Image

    exif = Image.Exif()
    exif[306] = "2026:03:01 10:00:00"
    path = saved(tmp_path / "a.jpg", 1, exif=exif, dpi=(600, 600))
    (one,) = taken(path).proposals
    note = one.notes[0]
    assert note.fields["scan"] == {"on": "2026-03-01", "dpi": 600}
    assert "date" not in note.fields
    assert "when it was taken" in one.left_open
    assert "    Exif DateTime: 2026:03:01 10:00:00" in note.prose


lines = st.text(max_size=300)
carried = st.lists(
    st.builds(
        Carried,
        standard=st.sampled_from(["Exif", "XMP", "IPTC"]),
        name=st.sampled_from(["dc:title", "Object Name", "photoshop:Credit", "Date Created"]),
        text=lines,
    ),
    max_size=6,
)


@given(carried, lines, st.text(max_size=60), st.sampled_from([None, "period", "document"]))
@example([], "\r", "", None)
@settings(deadline=None, max_examples=150)
def test_whatever_a_file_says_the_note_reads_back_as_proposed(said, caption, name, kind):
    facts = ImageFacts("e5" * 32, "JPEG", "L", 40, 30, 1, 100)
    row = Row(2, name, "", caption, {"title": caption[:50] or "x"}, {}, {}, True)
    incoming = Incoming(Path("x.jpg"), "x.jpg", name)
    one = Newcomer(incoming, facts, Arrival("", tuple(said), 300), row)
    proposal = propose(one, "x", "y", {"holder": caption or "z"}, kind, "HB", DAY)
    for note in proposal.notes:
        folder = note.path.partition("/")[0]
        entry = read_record(note.path, text_of(note).encode(), KINDS[folder], "x")
        assert entry.problems == (), text_of(note)
        assert entry.made.prose.startswith("- [ ] Still open: ")
