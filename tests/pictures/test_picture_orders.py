"""An order says all that its pictures depend on, and refuses what can't be made."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import pytest

from archive.core.images import ImageFacts
from archive.pictures.credit import packet
from archive.pictures.orders import PictureOrder

FACTS = ImageFacts("ab" * 32, "JPEG", "RGB", 3000, 2000, 1, 12345)
ORDER = PictureOrder(Path("photos/slipway-1932.jpg"), FACTS, "slipway-1932")


def test_a_pyramid_is_made_for_large_pictures_or_when_asked() -> None:
    assert ORDER.tiled
    assert not replace(ORDER, facts=replace(FACTS, width_px=2400)).tiled
    assert replace(ORDER, facts=replace(FACTS, width_px=10, height_px=2401)).tiled
    assert not replace(ORDER, tiles=False).tiled


def test_the_key_follows_the_bytes_and_the_recipe_and_nothing_else() -> None:
    others = [
        replace(ORDER, facts=replace(FACTS, sha256="cd" * 32)),
        replace(ORDER, widths=(320, 961)),
        replace(ORDER, tiles=False),
        replace(ORDER, regions_flat=(((1.0, 2.0), (3.0, 4.0), (5.0, 9.0)),)),
        replace(ORDER, metadata={"credit": "Hollin Water Museum"}),
    ]
    assert len({order.key() for order in [ORDER, *others]}) == 6
    same = replace(ORDER, source=Path("elsewhere.jpg"), name="x", widths=(1920, 320, 960, 320))
    assert same.key() == ORDER.key()


@pytest.mark.parametrize(
    "change",
    [
        {"name": "../x"},
        {"name": ""},
        {"name": "A"},
        {"widths": ()},
        {"widths": (0,)},
        {"regions_flat": ((),)},
        {"regions_flat": (((float("nan"), 1.0),),)},
        {"metadata": {"gps": "61 N"}},
        {"metadata": {"credit": "\x00"}},
        {"metadata": {"credit": "x" * 70_000}},
    ],
)
def test_what_cannot_be_ordered(change: dict[str, object]) -> None:
    with pytest.raises(ValueError):
        replace(ORDER, **change)  # type: ignore[arg-type]


def test_the_credit_is_xmp_with_the_iptc_properties() -> None:
    """IPTC Photo Metadata Standard 2025.1: Credit Line is photoshop:Credit, Copyright Notice
    dc:rights; XMP's rights schema has UsageTerms and WebStatement (names from memory)."""
    text = packet(
        {"credit": "Ove & <Sons> \u00e5", "rights": "All", "statement": "https://x.example"}
    )
    body = text[text.index("?>") + 2 : text.rindex("<?")]
    tree = ElementTree.fromstring(body)
    said = {element.tag: element.text for element in tree.iter() if element.text}
    assert said == {
        "{http://ns.adobe.com/photoshop/1.0/}Credit": "Ove & <Sons> \u00e5",
        "{http://www.w3.org/1999/02/22-rdf-syntax-ns#}li": "All",
        "{http://ns.adobe.com/xap/1.0/rights/}WebStatement": "https://x.example",
    }
    assert packet(None) == packet({}) == ""
