"""Citations: the whole sentence for each kind of source, and nothing in it twice."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from archive.core.dates import parse_edtf
from archive.records.citation import CSL_TYPES, Citation, render

MUSEUM = {"archive": "Hollin Water Museum", "archive_location": "box 12, neg. 47"}

GOLDEN: list[tuple[dict[str, Any], str]] = [
    (
        {
            "type": "graphic",
            "author": ("Holm, Ada",),
            "title": "QK-41 on the slipway",
            "issued": "1932-06-11",
            "medium": "gelatin silver print",
            "dimensions": "9 × 12 cm",
            "archive_place": "Hollin",
            **MUSEUM,
        },
        "Ada Holm, “QK-41 on the slipway”, photograph, 11 June 1932, gelatin silver print, "
        "9 × 12 cm, box 12, neg. 47, Hollin Water Museum, Hollin.",
    ),
    (
        {"type": "graphic", "issued": "1931~", "medium": "glass negative", **MUSEUM},
        "Photograph, about 1931, glass negative, box 12, neg. 47, Hollin Water Museum.",
    ),
    (
        {
            "type": "personal_communication",
            "author": ("Holm, Ada",),
            "recipient": ("Lund & Aske",),
            "issued": "1932-05-03",
            **MUSEUM,
        },
        "Ada Holm to Lund & Aske, letter, 3 May 1932, box 12, neg. 47, Hollin Water Museum.",
    ),
    (
        {"type": "personal_communication", "recipient": ("Nes, Per",)},
        "Unknown writer to Per Nes, letter, undated.",
    ),
    (
        {
            "type": "article-newspaper",
            "title": 'Floats for the "Survey" machine',
            "container_title": "The Aske Quay Courier",
            "issued": "1932-06-12",
            "page": "4",
        },
        "“Floats for the ‘Survey’ machine”, The Aske Quay Courier, 12 June 1932, p. 4.",
    ),
    (
        {
            "type": "article-newspaper",
            "author": ("Nes, Per",),
            "title": "Who flies tomorrow?",
            "container_title": "The Aske Quay Courier",
            "edition": "evening edition",
            "issued": "1932-06-12",
            "page": "4-5",
        },
        "Per Nes, “Who flies tomorrow?”, The Aske Quay Courier, evening edition, 12 June 1932, "
        "pp. 4–5.",
    ),
    (
        {"type": "article-newspaper", "title": "Raised", "container_title": "Courier"},
        "“Raised”, Courier, undated.",
    ),
    (
        {
            "type": "pamphlet",
            "title": "The Type 6 Survey Biplane",
            "publisher": "Lund & Aske",
            "publisher_place": "Aske Quay",
            "issued": "1932",
        },
        "The Type 6 Survey Biplane, brochure (Aske Quay: Lund & Aske, 1932).",
    ),
    (
        {
            "type": "pamphlet",
            "author": ("Lund & Aske",),
            "title": "The Type 6 Survey Biplane",
            "publisher": "Lund & Aske",
            "publisher_place": "Aske Quay",
            "issued": "1932",
            "page": "3",
        },
        "Lund & Aske, The Type 6 Survey Biplane, brochure (Aske Quay, 1932), p. 3.",
    ),
    (
        {"type": "manuscript", "title": "Workshop log", "genre": "workshop log", "issued": "1931"},
        "“Workshop log”, 1931.",
    ),
    (
        {
            "type": "interview",
            "author": ("Vold, Inga",),
            "interviewer": ("Oss, Ragna",),
            "issued": "2025-02-11",
            "medium": "sound recording, 48 minutes",
        },
        "Inga Vold, interview by Ragna Oss, 11 February 2025, sound recording, 48 minutes.",
    ),
    (
        {
            "type": "figure",
            "author": ("{Lund, Aske & Co.}",),
            "title": "Float attachment",
            "issue": "6-114",
            "issued": "1932-02",
            "medium": "blueprint",
        },
        "Lund, Aske & Co., “Float attachment”, drawing, no. 6-114, February 1932, blueprint.",
    ),
    (
        {
            "type": "book",
            "author": ("Holm, Ada", "Nes, Per"),
            "title": "The Surveyors' Lakes",
            "edition": "2nd edition",
            "publisher": "Fjellet",
            "publisher_place": "Hollin",
            "issued": "1958",
            "page": "41–43",
        },
        "Ada Holm and Per Nes, The Surveyors’ Lakes, 2nd edition (Hollin: Fjellet, 1958), "
        "pp. 41–43.",
    ),
    (
        {
            "type": "chapter",
            "author": ("Nes, Per",),
            "title": "Floats",
            "container_title": "Lake Craft",
            "publisher": "Fjellet",
            "issued": "1940",
            "page": "12",
        },
        "Per Nes, “Floats”, in Lake Craft (Fjellet, 1940), p. 12.",
    ),
    (
        {
            "type": "report",
            "author": ("Hollin Water Museum",),
            "title": "Raising QK-41",
            "issue": "3",
            "publisher": "Hollin Water Museum",
            "issued": "2024-08",
        },
        "Hollin Water Museum, Raising QK-41, report, no. 3 (August 2024).",
    ),
    (
        {
            "type": "article-magazine",
            "author": ("Holm, Ada", "Nes, Per", "Vold, Inga", "Oss, Ragna"),
            "title": "A new biplane.",
            "container_title": "Lake and Air",
            "volume": "4",
            "issue": "7",
            "issued": "1932-07",
            "page": "112",
        },
        "Ada Holm and others, “A new biplane”, Lake and Air, vol. 4, no. 7, July 1932, p. 112.",
    ),
    (
        {
            "type": "webpage",
            "author": ("Hollin Survey",),
            "title": "Lake levels",
            "issued": "2026-01-02",
            "url": "https://example.org/levels",
            "note": "read 3 February 2026",
        },
        "Hollin Survey, “Lake levels”, 2 January 2026. https://example.org/levels. "
        "Read 3 February 2026.",
    ),
    ({"type": "document"}, "Document."),
]


def cite(fields: dict[str, Any]) -> Citation:
    issued = fields.get("issued")
    return Citation(**{**fields, "issued": parse_edtf(issued) if issued else None})


@pytest.mark.parametrize(("fields", "sentence"), GOLDEN, ids=[str(i) for i in range(len(GOLDEN))])
def test_the_sentence_of_a_citation(fields: dict[str, Any], sentence: str) -> None:
    assert render(cite(fields)) == sentence


WORDS = st.one_of(
    st.none(), st.text("abc AB'\"-", min_size=1, max_size=9).map(str.strip).filter(bool)
)


@given(
    kind=st.sampled_from(sorted(CSL_TYPES)),
    title=WORDS,
    author=st.lists(st.sampled_from(["Holm, Ada", "Lund & Aske", "Nes, Per"]), max_size=4),
    publisher=WORDS,
    container=WORDS,
    page=st.one_of(st.none(), st.sampled_from(["4", "4-6", "4, 7"])),
    issued=st.one_of(st.none(), st.sampled_from(["1932", "1932-06-11", "../1931"])),
)
def test_any_fields_make_one_clean_sentence(
    kind: str,
    title: str | None,
    author: list[str],
    publisher: str | None,
    container: str | None,
    page: str | None,
    issued: str | None,
) -> None:
    sentence = render(
        cite(
            {
                "type": kind,
                "title": title,
                "author": tuple(dict.fromkeys(author)),
                "publisher": publisher,
                "container_title": container,
                "page": page,
                "issued": issued,
            }
        )
    )
    assert sentence.endswith((".", ".”", "?", "!"))
    assert not any(fault in sentence for fault in (",,", ", ,", "..", "( ", "()", "None", '"', "'"))
    assert sentence[0] not in ",. "


def test_a_holder_who_is_also_the_maker_is_named_once() -> None:
    sentence = render(
        cite({"type": "report", "author": ("Hollin Water Museum",), "title": "Raising", **MUSEUM})
    )
    assert sentence.count("Hollin Water Museum") == 1
