"""Every id has one address, and a link leads there from any page."""

from __future__ import annotations

import doctest

import pytest
from hypothesis import given
from hypothesis import strategies as st

from archive.records.schema import REF_KINDS
from archive.site import addresses
from archive.site.addresses import address, href, page_of, root_of

NAMES = st.from_regex(r"\A[a-z0-9][a-z0-9-]{0,20}\Z")


def test_examples_of_the_module_hold() -> None:
    assert doctest.testmod(addresses).failed == 0


@pytest.mark.parametrize(
    ("ref", "wanted"),
    [
        ("parts/strut", "parts/strut.html"),
        ("parts/strut#length", "parts/strut.html#length"),
        ("zones/100", "zones/100.html"),
        ("people/hanne-brekk", "people.html#hanne-brekk"),
        ("configurations/survey-1932", "aircraft.html#configuration-survey-1932"),
        ("sisters/qk-43", "aircraft.html#sister-qk-43"),
        ("cards/0031", "cards/0031.html"),
        ("states/first", ""),
    ],
)
def test_a_ref_has_its_address(ref: str, wanted: str) -> None:
    assert address(ref) == wanted


def test_every_kind_that_a_ref_may_name_has_a_page() -> None:
    assert [kind for kind in sorted(REF_KINDS) if not page_of(f"{kind}/x")] == []


@given(st.sampled_from(sorted(REF_KINDS)), NAMES, st.one_of(st.just(""), NAMES))
def test_no_two_records_share_an_address(kind: str, id_: str, piece: str) -> None:
    ref = f"{kind}/{id_}" + (f"#{piece}" if piece else "")
    assert address(ref) != address(f"{kind}/{id_}x")
    assert not address(ref).split("#")[-1].startswith("_")


def test_links_go_up_as_often_as_the_page_lies_deep() -> None:
    assert href(root_of("parts/strut.html"), "photos/é a.html#x y") == (
        "../photos/%C3%A9%20a.html#x%20y"
    )
