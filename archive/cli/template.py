"""A template on paper for `witnessmark measure`: the plane of a measurement, at true scale."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from archive.cli.exits import NOT_CLEARED, WRONG_USE, private_cache, stop

if TYPE_CHECKING:
    from archive.core.rectified import Rectified
    from archive.exchange.tiling import Box
    from archive.pipeline import Weighed

Corner = tuple[float, float]


def set_for(
    weighed: Weighed,
    ref: str,
    as_of: date,
    paper: str,
    area: tuple[Corner, Corner] | None,
    whole: bool,
) -> tuple[bytes, int]:
    """The PDF of the plane of a measurement (its REF), and how many sheets it joins.

    `area` gives two corners of the part to lay out, by the figures at the grid; `whole` asks for
    all of it, and neither for what lies round the measured length. Ends the command with exit code
    5 where the measurement is refused, or is kept from the crew's site, and with 2 where there is
    no plane, or nothing of it in the area.
    """
    from archive.audience.crew import crew_view
    from archive.exchange.tiling import MOST_SHEETS, tiled
    from archive.pictures.rectified import make_printed
    from archive.pipeline import rectified
    from archive.publish.ordering import plane_orders
    from archive.publish.template import print_order, set_template

    found = weighed.findings.measurements[ref]
    if found.method != "plane":
        hint = "Only method: plane straightens one."
        stop(WRONG_USE, f"{ref} is not measured on a plane.", hint)
    if found.refused is not None:
        stop(NOT_CLEARED, f"No template: {found.refused}", found.way_out)
    planes = rectified(weighed)
    view = crew_view(
        weighed.library, weighed.findings, weighed.problems, weighed.images, as_of,
        rectified=planes,
    )  # fmt: skip
    orders = plane_orders(view, weighed.pictures)
    if ref not in orders:
        stop(NOT_CLEARED, f"{ref} is kept from the crew's site, or rests on what is.")
    part = _part(area, whole)(orders[ref].plane)
    if not part.width or not part.height:
        hint = "Take the figures at the grid on the measurement's page, such as 300,-400."
        stop(WRONG_USE, "The area lies outside the view.", hint)
    plan = tiled(part, paper)
    sheets = len(plan.tiles)
    if sheets > MOST_SHEETS:
        stop(WRONG_USE, f"That takes {sheets} sheets.", "Ask for a part of it with --area.")
    with tempfile.TemporaryDirectory(prefix="witnessmark-") as folder:
        cache = private_cache(weighed.folder)
        keep = cache / "pictures" if cache else Path(folder)
        order = print_order(orders[ref], [plan])
        made = list(make_printed([order], keep).values())
        if not made:
            stop(NOT_CLEARED, f"The picture of {ref} can't be read.", "See witnessmark check.")
        return set_template(view, ref, plan, order, made[0]), sheets


def _part(area: tuple[Corner, Corner] | None, whole: bool) -> Callable[[Rectified], Box]:
    from archive.publish import template

    if area is not None:
        return lambda plane: template.between(plane, *area)
    return template.whole if whole else template.around
