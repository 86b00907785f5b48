"""How a picture goes out to an audience: covered where it must be, with its credit, or as it is."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from archive.audience.view import View
from archive.core.images import ImageFacts
from archive.pictures.orders import PictureOrder
from archive.pictures.rectified import RectifiedOrder

LONGEST_LINE = 1000
"""Characters of one line of credit or source that go into a picture."""


def picture_order(view: View, id_: str, file: Path, facts: ImageFacts, **more: Any) -> PictureOrder:
    """What is made of the photograph `id_`; `more` are other fields of the order.

    Where the view gives terms for it, its withheld places are covered before anything is scaled,
    and its files carry the credit, the rights statement and the source.
    """
    terms = view.terms.get(id_)
    if terms is not None:
        said = {
            "credit": terms.credit,
            "rights": terms.credit,
            "source": terms.source,
            "statement": terms.statement,
        }
        more["regions_flat"] = terms.flat
        more["metadata"] = {key: line for key, text in said.items() if (line := _line(text))}
    return PictureOrder(source=file, facts=facts, name=id_, **more)


def plane_orders(view: View, files: Mapping[str, Path]) -> dict[str, RectifiedOrder]:
    """The planes to lay out at true scale, by the REF of their measurement.

    They are working pictures, straightened and drawn on: a view for the public has none.
    """
    orders = {}
    for ref, plane in view.rectified.items():
        id_ = plane.photo.partition("/")[2]
        if id_ in view.images and id_ in files:
            name = f"plane-{ref.partition('/')[2]}"
            orders[ref] = RectifiedOrder(name, files[id_], view.images[id_], plane)
    return orders


def _line(text: str) -> str:
    """A line that goes into a picture: printable, and no longer than anybody reads."""
    return "".join(c for c in " ".join(text.split()) if c.isprintable())[:LONGEST_LINE]
