"""What `find` finds, and in which order."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from archive.search.documents import Document
from archive.search.find import find, look
from archive.search.index import Index, open_index

PAPERS = [
    Document(
        "parts/strut",
        "part",
        "Front strut, port",
        "Steel tube, seen near the wheel pants. Tag P-114.",
        ("P-114", "K.12/4", "T-1", "T-2", "T-3", "T-4", "T-5"),
        "300",
        "seen",
        "parts/strut.html",
        "Steel tube",
    ),
    Document(
        "parts/post",
        "part",
        "Water-rudder post",
        "The rudder post was lengthened; its fittings were re-drilled by the operator.",
        ("QK-41",),
        "200",
        "on the airframe",
    ),
    Document(
        "parts/post#length", "claim", "Length of the post", "Longer by the rudder.", (), "200"
    ),
    Document("photos/slip", "photo", "Slipway", "Spats on the left wheel; airscrew.", ("K.1/24",)),
    Document(
        "photos/shed", "photo", "Øvre Hollin, façade", "Centre-section tank.", ("0123", "B-47a")
    ),
    Document(
        "sources/wheel", "source", "Bill for a wheel", "Paid for pants and one wheel.", ("123",)
    ),
]


@pytest.fixture(scope="module")
def index() -> Iterator[Index]:
    opened = open_index(PAPERS)
    yield opened
    opened.close()


def refs(index: Index, words: str, **facets: str) -> list[str]:
    return [hit.ref for hit in find(index, words, **facets)]


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("strut", {"parts/strut"}),
        ("STRUTS", {"parts/strut"}),
        ("fitting drilled", {"parts/post"}),
        ("rudder operator", {"parts/post"}),
        ('"rudder post"', {"parts/post"}),
        ('"post rudder"', set()),
        ('"length of the post"', {"parts/post#length"}),
        ("rud*", {"parts/post", "parts/post#length"}),
        ("p114", {"parts/strut"}),
        ("P-114", {"parts/strut"}),
        ("p 114", {"parts/strut"}),
        ("P-11*", {"parts/strut"}),
        ("b47A", {"photos/shed"}),
        ("0123", {"photos/shed"}),
        ("123", {"sources/wheel"}),
        ("waterrudder", {"parts/post"}),
        ("ovre facade", {"photos/shed"}),
        ("Øvre FAÇADE", {"photos/shed"}),
        ("prop", {"photos/slip"}),
        ("center section", {"photos/shed"}),
        ("port wheel", {"parts/strut", "photos/slip"}),
        ("spats", {"photos/slip", "parts/strut"}),
        ("wheel pants", {"photos/slip", "parts/strut", "sources/wheel"}),
        ('"wheel pants"', {"parts/strut"}),
        ("kind:photo", {"photos/slip", "photos/shed"}),
        ("zone:200 post", {"parts/post", "parts/post#length"}),
        ('grade:"on the airframe"', {"parts/post"}),
        ("grade:on-the-airframe grade:seen", {"parts/post", "parts/strut"}),
        ("the of", set()),
        ("", set()),
        ("zeppelin", set()),
    ],
)
def test_hits(index: Index, words: str, expected: set[str]) -> None:
    assert set(refs(index, words)) == expected


def test_the_mark_as_written_beats_one_that_differs_by_its_separators(index: Index) -> None:
    assert refs(index, "K.12/4") == ["parts/strut"]
    assert refs(index, "K.1/24") == ["photos/slip"]
    assert set(refs(index, "k124")) == {"parts/strut", "photos/slip"}
    assert set(refs(index, "K-12-4")) == {"parts/strut", "photos/slip"}


def test_the_word_typed_ranks_before_its_synonym(index: Index) -> None:
    assert refs(index, "spats")[0] == "photos/slip"
    assert refs(index, '"wheel pants"') == ["parts/strut"]


def test_misspellings_are_put_right_only_where_nothing_has_the_word(index: Index) -> None:
    found = look(index, "ruder")
    assert {hit.ref for hit in found.hits} == {"parts/post", "parts/post#length"}
    assert found.corrected == (("ruder", ("rudder",)),)
    assert look(index, "lenghtened").corrected == (("lenghtened", ("lengthened",)),)
    assert look(index, "lenghtenned").corrected == (("lenghtenned", ("lengthened",)),)
    assert look(index, "rudder").corrected == ()
    assert look(index, "airscrew").corrected == ()
    assert look(index, "rxddxr").missing == ("rxddxr",)  # two slips in six letters
    assert look(index, "tub").missing == ("tub",)  # too short to guess at
    assert look(index, "P-115").missing == ("P-115".lower(),)  # a number is never guessed at
    assert look(index, '"ruder post"').corrected == ()


def test_facets_given_beside_the_words_hold_as_well(index: Index) -> None:
    assert refs(index, "post", kind="claim") == ["parts/post#length"]
    assert refs(index, "", zone="300") == ["parts/strut"]
    assert refs(index, "kind:photo", kind="part") == []


def test_limit_cuts_the_list_but_changes_no_score(index: Index) -> None:
    all_hits = find(index, "wheel", limit=20)
    assert find(index, "wheel", limit=1) == all_hits[:1]
    assert look(index, "wheel", limit=1).total == len(all_hits) > 1


def test_ties_go_by_ref() -> None:
    twins = [Document(f"parts/{name}", "part", "Rib", "One of forty.") for name in "cab"]
    assert refs(open_index(twins), "rib") == ["parts/a", "parts/b", "parts/c"]


def test_a_hit_carries_what_the_page_shows(index: Index) -> None:
    (hit,) = find(index, "p114")
    assert hit.as_json() == {
        "ref": "parts/strut",
        "title": "Front strut, port",
        "kind": "part",
        "score": hit.score,
        "url": "parts/strut.html",
        "summary": "Steel tube",
        "zone": "300",
        "grade": "seen",
    }
    assert hit.score > 0


def test_nothing_to_search_is_no_error() -> None:
    assert find(open_index([]), "strut") == []


def test_two_documents_with_one_ref_are_refused() -> None:
    with pytest.raises(ValueError, match="share the ref parts/a"):
        open_index([Document("parts/a", "part", "A"), Document("parts/a", "part", "B")])
