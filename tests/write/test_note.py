"""The text of a new record reads back as exactly what it was made of."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from archive.core.arrivals import NewNote
from archive.read.records import read_record
from archive.records.source import Source
from archive.write.note import LONGEST, text_of

texts = st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=60).filter(str.strip)


def read(note: NewNote) -> Source:
    entry = read_record(note.path, text_of(note).encode(), Source, "x")
    assert entry.problems == (), text_of(note)
    return entry.made


@given(texts, texts, st.lists(texts, min_size=1, max_size=3), st.booleans())
@settings(deadline=None)
def test_any_text_comes_back_as_it_was(title, credit, authors, crop):
    fields = {
        "title": title,
        "citation": {"type": "graphic", "author": authors},
        "rights": {"basis": "unknown", "credit": credit, "crop": crop},
    }
    made = read(NewNote("sources/x.md", fields, "As it stands.\n"))
    assert made.title == title
    assert made.citation.author == tuple(authors)
    assert (made.rights.credit, made.rights.crop) == (credit, crop)
    assert made.prose == "As it stands.\n"


def test_a_group_that_fits_no_line_is_set_below():
    note = NewNote(
        "sources/x.md", {"title": "A", "citation": {"type": "graphic", "note": "x " * 60}}
    )
    assert max(len(line) for line in text_of(note).splitlines()[:3]) <= LONGEST
    assert read(note).citation.note == "x " * 60


def test_plain_words_need_no_quotes():
    note = NewNote("sources/x.md", {"title": "At the slip", "dated": "1932-06", "first_hand": True})
    text = text_of(note)
    assert text == "---\ntitle: At the slip\ndated: 1932-06\nfirst_hand: yes\n---\n"
    assert '"no"' in text_of(NewNote("x", {"title": "no"}))
