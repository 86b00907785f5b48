"""The general arrangement: three views on one scale, each zone shaded by how well it is known.

Side view above, plan below it on the same stations, front view beside it on the same water lines,
as a drawing office lays them out. Outlines are [x, z], [x, y] and [y, z] in millimetres.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from archive.core.verdicts import ZoneKnown
from archive.records.zone import VIEWS, Zone
from archive.site.balloons import ALONE_REACH_PX, REACH_PX, Balloon, balloons
from archive.site.context import Context
from archive.site.page import Grade
from archive.site.words import count

SHEET_PX = 960.0
"""Width of the whole drawing in the units of its own coordinates."""
ALONE_PX = 340.0
"""Width of one view drawn by itself."""
MARGIN_PX = 46.0
"""Room for the balloons round a view."""
BARE_PX = 14.0
"""Room beside a view where no balloon stands."""
GAP_PX = 12.0

NAMES = {"side": "Side, from port", "top": "Plan", "front": "Front"}

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Shape:
    """One outline of a zone: its path; `corners` are the ticks round one that is conjecture."""

    path: str
    corners: str


@dataclass(frozen=True, slots=True)
class ZoneDrawn:
    """A zone on one view. `line` is its grade's, "" without claims; `first` takes the focus."""

    number: str
    href: str
    says: str
    line: str
    shapes: tuple[Shape, ...]
    balloon: Balloon
    first: bool


@dataclass(frozen=True, slots=True)
class ViewDrawn:
    """One view, drawn from (0, 0) to its width and height, at (x, y) on the sheet."""

    key: str
    name: str
    x: float
    y: float
    width: float
    height: float
    zones: tuple[ZoneDrawn, ...]
    axis: str
    reach: float


@dataclass(frozen=True, slots=True)
class Drawing:
    """The three views on one sheet, and each by itself for a narrow screen."""

    width: float
    height: float
    views: tuple[ViewDrawn, ...]
    alone: tuple[ViewDrawn, ...]
    scale_px: float
    scale_says: str


@dataclass(frozen=True, slots=True)
class _Box:
    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        return self.right - self.left

    @property
    def height(self) -> float:
        return self.bottom - self.top


def draw(context: Context) -> Drawing | None:
    """The drawing of all zones that have an outline; None where none has."""
    outlines = {view: _outlines(context, view) for view in VIEWS}
    boxes = {view: _box(found) for view, found in outlines.items() if found}
    if not boxes:
        return None
    wide = boxes.get("side", boxes.get("top"))
    across = (wide.width if wide else 0) + (boxes["front"].width if "front" in boxes else 0)
    scale = (SHEET_PX - 4 * MARGIN_PX - GAP_PX) / across
    places, width, height = _places(boxes, scale)
    first = _first_views(outlines)
    views = tuple(
        _view(context, view, outlines[view], boxes[view], scale, places[view], first)
        for view in boxes
    )
    alone = tuple(
        _view(
            context,
            view,
            outlines[view],
            boxes[view],
            (ALONE_PX - 2 * _bare(boxes[view])[0]) / boxes[view].width,
            (0.0, 0.0),
            first,
            _bare(boxes[view]),
            ALONE_REACH_PX,
        )
        for view in boxes
    )
    metres = max(1, round(across / 10_000))
    return Drawing(width, height, views, alone, metres * 1000 * scale, count(metres, "metre"))


def _bare(box: _Box) -> Point:
    """The margins of a view drawn by itself: wide only where its balloons stand."""
    return (MARGIN_PX, BARE_PX) if box.height > box.width else (BARE_PX, MARGIN_PX)


def _outlines(context: Context, view: str) -> dict[str, list[tuple[list[Point], bool]]]:
    """Zone number → its outlines on a view, each with y downward as on a screen."""
    found: dict[str, list[tuple[list[Point], bool]]] = {}
    for zone in context.library.zones.values():
        for outline in zone.outlines:
            if outline.view == view and outline.points:
                points = [_on_paper(view, x, y) for x, y in outline.points]
                found.setdefault(zone.id, []).append((points, bool(outline.smooth)))
    return found


def _on_paper(view: str, across: float, up: float) -> Point:
    """Side: nose left, up is up. Plan: nose left, port above. Front: from ahead, port right."""
    if view == "front":
        return (-across, -up)
    return (across, up if view == "top" else -up)


def _box(outlines: dict[str, list[tuple[list[Point], bool]]]) -> _Box:
    points = [point for shapes in outlines.values() for shape, _ in shapes for point in shape]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return _Box(min(xs), min(ys), max(max(xs), min(xs) + 1.0), max(max(ys), min(ys) + 1.0))


def _places(boxes: dict[str, _Box], scale: float) -> tuple[dict[str, Point], float, float]:
    """Where each view's top left corner lies, and the sheet's size."""
    sizes = {
        view: (box.width * scale + 2 * MARGIN_PX, box.height * scale + 2 * MARGIN_PX)
        for view, box in boxes.items()
    }
    # Side and front share water lines: their datum heights are brought level.
    side, front = boxes.get("side"), boxes.get("front")
    rise = {"side": 0.0, "front": 0.0}
    if side and front:
        level = min(side.top, front.top)
        rise = {"side": (side.top - level) * scale, "front": (front.top - level) * scale}
    shift = {"side": 0.0, "top": 0.0}
    top = boxes.get("top")
    if side and top:
        nose = min(side.left, top.left)
        shift = {"side": (side.left - nose) * scale, "top": (top.left - nose) * scale}
    left = max((shift[v] + sizes[v][0] for v in ("side", "top") if v in sizes), default=0.0)
    upper = max((rise[v] + sizes[v][1] for v in ("side", "front") if v in sizes), default=0.0)
    places = {
        "side": (shift["side"], rise["side"]),
        "front": (left + GAP_PX if left else 0.0, rise["front"]),
        "top": (shift["top"], upper),
    }
    width = max(places[v][0] + sizes[v][0] for v in sizes)
    height = max(places[v][1] + sizes[v][1] for v in sizes)
    return places, round(width, 1), round(height, 1)


def _first_views(outlines: dict[str, dict[str, Any]]) -> dict[str, str]:
    """Zone number → the view on which its balloon takes the focus."""
    found: dict[str, str] = {}
    for view in VIEWS:
        for number in outlines[view]:
            found.setdefault(number, view)
    return found


def _view(
    context: Context,
    view: str,
    outlines: dict[str, list[tuple[list[Point], bool]]],
    box: _Box,
    scale: float,
    at: Point,
    first: dict[str, str],
    margin: Point = (MARGIN_PX, MARGIN_PX),
    reach: float = REACH_PX,
) -> ViewDrawn:
    def placed(point: Point) -> Point:
        return (
            (point[0] - box.left) * scale + margin[0],
            (point[1] - box.top) * scale + margin[1],
        )

    width, height = box.width * scale + 2 * margin[0], box.height * scale + 2 * margin[1]
    shapes = {
        number: [([placed(point) for point in points], smooth) for points, smooth in found]
        for number, found in outlines.items()
    }
    order = sorted(shapes, key=lambda number: -max(_area(points) for points, _ in shapes[number]))
    numbered = balloons(
        {
            number: _inside(max(found, key=lambda s: _area(s[0]))[0])
            for number, found in shapes.items()
        },
        width,
        height,
        reach,
    )
    zones = tuple(
        _zone(
            context,
            context.library.zones[number],
            shapes[number],
            numbered[number],
            first[number] == view,
        )
        for number in order
    )
    centre = placed((0.0, 0.0))
    axis = (
        f"M{centre[0]:.1f} 8V{height - 8:.1f}"
        if view == "front"
        else f"M8 {centre[1]:.1f}H{width - 8:.1f}"
    )
    return ViewDrawn(
        view,
        NAMES[view],
        round(at[0], 1),
        round(at[1], 1),
        round(width, 1),
        round(height, 1),
        zones,
        axis,
        reach,
    )


def _zone(
    context: Context,
    zone: Zone,
    shapes: Sequence[tuple[list[Point], bool]],
    balloon: Balloon,
    first: bool,
) -> ZoneDrawn:
    known = context.findings.zones.get(zone.id)
    grade = Grade.of(known.grade) if known else None
    return ZoneDrawn(
        number=zone.id,
        href=context.href(f"zones/{zone.id}"),
        says=said(zone, known),
        line=grade.line if grade else "",
        shapes=tuple(Shape(_path(points, smooth), _corners(points)) for points, smooth in shapes),
        balloon=balloon,
        first=first,
    )


def said(zone: Zone, known: ZoneKnown | None) -> str:
    """A zone in a sentence, for those who can't see the drawing."""
    grade = (known.grade if known else "") or "no claims"
    parts = count(len(known.parts), "part") if known else "no parts"
    return f"Zone {zone.id}, {zone.name}: {grade}, {parts}"


def _path(points: Sequence[Point], smooth: bool) -> str:
    """A closed path through the points, as a fair curve where `smooth`."""
    if not smooth or len(points) < 4:
        return "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points) + "Z"
    found = [f"M{points[0][0]:.1f} {points[0][1]:.1f}"]
    count_ = len(points)
    for i in range(count_):
        before, here, there, after = (points[(i + k) % count_] for k in (-1, 0, 1, 2))
        one = (here[0] + (there[0] - before[0]) / 6, here[1] + (there[1] - before[1]) / 6)
        two = (there[0] - (after[0] - here[0]) / 6, there[1] - (after[1] - here[1]) / 6)
        found.append(
            f"C{one[0]:.1f} {one[1]:.1f} {two[0]:.1f} {two[1]:.1f} {there[0]:.1f} {there[1]:.1f}"
        )
    return "".join(found) + "Z"


def _corners(points: Sequence[Point]) -> str:
    """Four corner ticks round the points: nothing is known between them."""
    left, right = min(x for x, _ in points), max(x for x, _ in points)
    top, bottom = min(y for _, y in points), max(y for _, y in points)
    tick = min(8.0, (right - left) / 3, (bottom - top) / 3)
    return (
        f"M{left:.1f} {top + tick:.1f}V{top:.1f}h{tick:.1f}"
        f"M{right - tick:.1f} {top:.1f}H{right:.1f}v{tick:.1f}"
        f"M{right:.1f} {bottom - tick:.1f}V{bottom:.1f}h{-tick:.1f}"
        f"M{left + tick:.1f} {bottom:.1f}H{left:.1f}v{-tick:.1f}"
    )


def _area(points: Sequence[Point]) -> float:
    """The area within the points (the shoelace formula), without its sign."""
    rolled = [*points[1:], points[0]]
    return abs(sum(x * v - u * y for (x, y), (u, v) in zip(points, rolled, strict=True))) / 2


def _inside(points: Sequence[Point]) -> Point:
    """A point well inside the outline: the middle of its widest run at half its height."""
    top, bottom = min(y for _, y in points), max(y for _, y in points)
    best, found = -1.0, points[0]
    for share in (0.5, 0.35, 0.65):
        level = top + (bottom - top) * share + 1e-6
        cuts = sorted(
            x + (level - y) * (u - x) / (v - y)
            for (x, y), (u, v) in zip(points, [*points[1:], points[0]], strict=True)
            if (y <= level) != (v <= level)
        )
        for left, right in zip(cuts[::2], cuts[1::2], strict=False):
            if right - left > best + 1:
                best, found = right - left, ((left + right) / 2, level)
    return found
