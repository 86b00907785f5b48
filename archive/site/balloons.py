"""The numbered rings beside a view of the general arrangement, far enough apart for gloves."""

from __future__ import annotations

import math
from dataclasses import dataclass

RING_PX = 13.0
REACH_PX = 17.0
"""How far from a balloon's middle a press still meets it; balloons stand twice that apart."""
ALONE_REACH_PX = 26.5
"""The same for one view by itself, which a telephone shows slightly smaller than it is drawn."""

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Balloon:
    """A zone's number in a ring, and the leader from its rim to a dot on the zone."""

    x: float
    y: float
    to_x: float
    to_y: float
    rim_x: float
    rim_y: float


def balloons(
    dots: dict[str, Point], width: float, height: float, reach: float
) -> dict[str, Balloon]:
    """Numbers in two rows above and below a wide view, or two columns beside a tall one.

    Each row keeps the order of its dots, so that no leader crosses another of its row.
    """
    tall = height > width
    turned = {number: (y, x) if tall else (x, y) for number, (x, y) in dots.items()}
    along, across = (height, width) if tall else (width, height)
    order = sorted(turned, key=lambda number: (turned[number][1], turned[number][0]))
    room = max(1, int((along - 2 * RING_PX) // (2 * reach)))
    edge = max(RING_PX + 3, reach - 1)
    half = min(max(math.ceil(len(order) / 2), len(order) - room), room)
    found: dict[str, Balloon] = {}
    for numbers, level in ((order[:half], edge), (order[half:], across - edge)):
        row = sorted(numbers, key=lambda number: turned[number][0])
        for number, place in zip(
            row, _spread([turned[n][0] for n in row], along, reach), strict=True
        ):
            x, y = (level, place) if tall else (place, level)
            to_x, to_y = dots[number]
            away = math.hypot(to_x - x, to_y - y) or 1.0
            found[number] = Balloon(
                round(x, 1),
                round(y, 1),
                round(to_x, 1),
                round(to_y, 1),
                round(x + (to_x - x) * RING_PX / away, 1),
                round(y + (to_y - y) * RING_PX / away, 1),
            )
    return found


def _spread(wanted: list[float], width: float, reach: float) -> list[float]:
    """The nearest places to those wanted, in order, that keep rings apart and on the view."""
    least, most = max(RING_PX + 2, reach - 2), width - max(RING_PX + 2, reach - 2)
    apart = min(2 * reach, (most - least) / max(1, len(wanted) - 1))
    places: list[float] = []
    for x in wanted:
        places.append(max(x, least, places[-1] + apart if places else least))
    limit = most
    for i in reversed(range(len(places))):
        places[i] = min(places[i], limit)
        limit = places[i] - apart
    return places
