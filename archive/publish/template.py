"""A template as bytes: a plane at true scale, cut into sheets to print, set as one tagged PDF."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from archive.audience.view import View
from archive.core.rectified import Reckoned, Rectified
from archive.exchange.tiling import (
    EDGE_MM,
    HEAD_MM,
    OVERLAP_MM,
    SIDE_MM,
    Box,
    Tile,
    Tiling,
)
from archive.exchange.typeset import typeset
from archive.pictures.rectified import Printed, RectifiedOrder
from archive.site import rectified as words
from archive.site.context import Context
from archive.site.pages import site_of
from archive.site.words import count, day, plain

ROUND_MM = 80.0
"""What is laid out round the measured length where nobody asks for another part."""
TICK_MM, FIGURE_MM = 10.0, 100.0
"""Between the short lines at the edge of a sheet, and between the figures."""
VIEW = "view.jpg"
"""What the template calls the picture of the view."""
SCALING = (
    "Print at 100 %, “actual size”, without fitting to the page. Then measure the square and the "
    "lines on every sheet: paper and printers stretch."
)
JOIN = "Cut along the dotted line, and lay the rings of neighbours on each other."


def around(plane: Rectified) -> Box:
    """The part round what was measured."""
    xs, ys = ([spot[axis] for _, spot in plane.ends] for axis in (0, 1))
    box = Box(
        min(xs) - ROUND_MM,
        min(ys) - ROUND_MM,
        max(xs) - min(xs) + 2 * ROUND_MM,
        max(ys) - min(ys) + 2 * ROUND_MM,
    )
    return box.within(plane.width_mm, plane.height_mm)


def whole(plane: Rectified) -> Box:
    """All of the view."""
    return Box(0.0, 0.0, plane.width_mm, plane.height_mm)


def between(plane: Rectified, one: tuple[float, float], other: tuple[float, float]) -> Box:
    """The part between two corners, given by the figures at the grid; may be empty."""
    spots = [
        [(value - side.at_mm) * side.ways for value, side in zip(at, sides, strict=True)]
        for sides in ((plane.across, plane.down),)
        for at in (one, other)
    ]
    left, right = sorted(spot[0] for spot in spots)
    top, bottom = sorted(spot[1] for spot in spots)
    return Box(left, top, right - left, bottom - top).within(plane.width_mm, plane.height_mm)


def print_order(order: RectifiedOrder, plans: Iterable[Tiling]) -> RectifiedOrder:
    """The order for the picture that sheets show: one picture for all `plans`."""
    plane, windows = order.plane, [tile.window for plan in plans for tile in plan.tiles]
    left, top = min(box.left for box in windows), min(box.top for box in windows)
    right = max(box.left + box.width for box in windows)
    bottom = max(box.top + box.height for box in windows)
    part = Box(left, top, right - left, bottom - top).within(plane.width_mm, plane.height_mm)
    return replace(order, part=(part.left, part.top, part.width, part.height))


def set_template(
    view: View, ref: str, plan: Tiling, order: RectifiedOrder, printed: Printed
) -> bytes:
    """The PDF for the measurement `ref`, on the sheets of `plan`, with the picture that `order`
    gave."""
    return set_values(plain_values(Context(view, {}, site_of(view)), ref, plan, order), printed)


def set_values(values: dict[str, object], printed: Printed) -> bytes:
    """The PDF of what `plain_values` gives; its picture is whole pixels wide and high."""
    size = [printed.width_mm, printed.height_mm]
    return typeset("template", {**values, "picture_size": size}, {VIEW: printed.data})


def plain_values(
    context: Context, ref: str, plan: Tiling, order: RectifiedOrder
) -> dict[str, object]:
    """What the template is given, but the size of its picture: lengths are mm, places mm of the
    view."""
    plane = context.view.rectified[ref]
    record = context.library.measurements[ref.partition("/")[2]]
    found = context.findings.measurements[ref]
    size, other = context.both(found.value_mm or 0.0, found.half95_mm)
    used = [
        context.name(name.partition("#")[0])
        for name in context.library.named_by.get(ref, ())
        if name.startswith("parts/")
    ]
    number = getattr(record, "number", None) or record.id
    facts = [
        ("Measured", f"{size} ({other}), 95 times in 100"),
        ("Photograph", context.name(plane.photo)),
        ("Measurement", f"{number}, {ref}"),
        ("Part", ", ".join(dict.fromkeys(used))),
        ("Counted", words.counted(plane)),
        (
            "Sheets",
            f"{count(len(plan.tiles), 'sheet')}, {count(plan.rows, 'row')} of {plan.columns}",
        ),
        ("Set from the record of", day(context.view.as_of)),
    ]
    name = context.site.mark or context.site.name
    left, top, *_ = order.part or (0.0, 0.0)
    return {
        "title": f"{name}: {context.library.title(ref)}",
        "language": context.site.language,
        "paper": plan.paper,
        "lying": plan.lying,
        "window": list(plan.window),
        "edge": EDGE_MM,
        "side": SIDE_MM,
        "head": HEAD_MM,
        "picture": {
            "src": VIEW,
            "x": left,
            "y": top,
            "alt": f"{words.plane_words(plane)}, from “{context.name(plane.photo)}”",
        },
        "plane": words.plane_words(plane),
        "known_as": f"{number}, from {context.name(plane.photo)}",
        "only": words.ONLY,
        "only-short": "Only what lies in the plane is at true size.",
        "caution": words.NEVER_FOR_FLIGHT,
        "caution-short": "Display only, never for flight.",
        "first": words.MEASURE_FIRST,
        "scaling": SCALING,
        "says": list(words.sentences(plane))[1:],
        "facts": [list(fact) for fact in facts if fact[1]],
        "square": "This square is 50 mm wide and 50 mm high. Measure both ways.",
        "map": "The sheets: rows by letter, columns by number.",
        "sheet": "Sheet",
        "of": "one of",
        "join": JOIN if len(plan.tiles) > 1 else "",
        "size": size,
        "within": [list(at) for at in plane.within],
        "worked_over": [[list(at) for at in ring] for ring in plane.worked_over],
        "known": [{"at": list(at), "says": plain(name)} for name, at in plane.known],
        "ends": [list(at) for _, at in plane.ends],
        "doubts": [{"at": list(d.at), "says": words.doubt_words(d)} for d in plane.doubts],
        "sheets": [_sheet(plane, plan, tile) for tile in plan.tiles],
    }


def _sheet(plane: Rectified, plan: Tiling, tile: Tile) -> dict[str, object]:
    box = tile.window
    beside = {
        "left": tile.column > 0,
        "right": tile.column + 1 < plan.columns,
        "above": tile.row > 0,
        "below": tile.row + 1 < plan.rows,
    }
    return {
        "name": tile.name,
        "x": box.left,
        "y": box.top,
        "ticks_across": _ticks(plane.across, box.left, box.width),
        "ticks_down": _ticks(plane.down, box.top, box.height),
        "marks": _marks(box, beside),
        "cuts": _cuts(box, beside),
        "beside": _beside(plan, tile),
        "doubt": _doubt(plane, box),
    }


def _ticks(side: Reckoned, start: float, length: float) -> list[dict[str, object]]:
    """Where round values stand along a window; those with a figure carry it."""
    moved = Reckoned(side.axis, side.value(start), side.ways)
    return [
        {
            "at": at,
            "label": f"{side.axis} {value:.0f}".replace("-", "−") if not value % FIGURE_MM else "",
        }
        for at, value in words.grid(moved, length, TICK_MM)
    ]


def _marks(box: Box, beside: dict[str, bool]) -> list[list[float]]:
    half = OVERLAP_MM / 2
    found = []
    for part in (0.25, 0.75):
        if beside["left"]:
            found.append([half, part * box.height])
        if beside["right"]:
            found.append([box.width - half, part * box.height])
        if beside["above"]:
            found.append([part * box.width, half])
        if beside["below"]:
            found.append([part * box.width, box.height - half])
    return found


def _cuts(box: Box, beside: dict[str, bool]) -> list[list[list[float]]]:
    """Where to cut: through the middle of the overlaps to the right and below."""
    half = OVERLAP_MM / 2
    found = []
    if beside["right"]:
        found.append([[box.width - half, 0.0], [box.width - half, box.height]])
    if beside["below"]:
        found.append([[0.0, box.height - half], [box.width, box.height - half]])
    return found


def _beside(plan: Tiling, tile: Tile) -> str:
    named = {(other.row, other.column): other.name for other in plan.tiles}
    right = named.get((tile.row, tile.column + 1), "")
    below = named.get((tile.row + 1, tile.column), "")
    told = [f"right of it {right}" if right else "", f"below it {below}" if below else ""]
    return ", ".join(filter(None, told)) or "the last sheet"


def _doubt(plane: Rectified, box: Box) -> str:
    """How sure places on this sheet are: the least sure of those looked at on it or next to it."""
    middle = (box.left + box.width / 2, box.top + box.height / 2)

    def off(at: tuple[float, float]) -> float:
        return max(abs(at[0] - middle[0]) - box.width / 2, abs(at[1] - middle[1]) - box.height / 2)

    near = [one for one in plane.everywhere if off(one.at) <= 0]
    near.append(min(plane.everywhere, key=lambda one: off(one.at)))
    worst = max(near, key=lambda one: one.half95_mm)
    return f"On this sheet a place is known to {words.doubt_words(worst)} mm or better."
