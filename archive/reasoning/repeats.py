"""A person's own pick error on a photograph, from the points that were picked more than once."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from archive.records.library import Library

if TYPE_CHECKING:
    from archive.metrology.picking import Scatter

Repeats = Mapping[tuple[str, str], "Scatter"]
"""(person's id, REF of a photograph) → the scatter of that person's repeats there."""


def repeats(library: Library) -> Repeats:
    """The scatter of every person on every photograph on which they picked a point again."""
    found: dict[tuple[str, str], list[tuple[tuple[float, float], ...]]] = {}
    for measurement in library.measurements.values():
        person = library.person(measurement.by)
        if person is None:
            continue
        for photo, made in measurement.repeated():
            found.setdefault((person.id, photo), []).append(made)
    if not found:
        return {}
    import numpy as np

    from archive.metrology.picking import pooled

    return {key: pooled(np.array(points) for points in lists) for key, lists in found.items()}
