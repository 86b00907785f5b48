"""Which planes are laid out at true scale, how they are counted, from which side they are seen."""

from __future__ import annotations

import math
from datetime import date
from pathlib import Path

import numpy as np
import plane_seen
import pytest

from archive.audience.crew import crew_view
from archive.audience.public import public_view
from archive.core.rectified import Rectified
from archive.pipeline import Weighed, rectified, weigh

REF = "measurements/block"


def found(folder: Path, **more: object) -> tuple[Weighed, dict[str, Rectified]]:
    weighed = weigh(plane_seen.written(folder / "content", **more), compare=0)
    return weighed, rectified(weighed)


def pixel(plane: Rectified, at: tuple[float, float]) -> tuple[float, float]:
    """Where a place (station, water line) is in the file, by the view alone."""
    sheet = [
        (value - side.at_mm) * side.ways
        for value, side in zip(at, (plane.across, plane.down), strict=True)
    ]
    h = np.array(plane.to_photo).reshape(3, 3) @ [*sheet, 1.0]
    across, down = h[:2] / h[2]
    return (plane_seen.FULL[0] - across if plane.mirrored else across), down


def test_the_side_is_counted_by_stations_and_water_lines(tmp_path: Path) -> None:
    weighed, planes = found(tmp_path)
    plane = planes[REF]
    assert (plane.normal, plane.stands_mm, plane.seen_from) == ("y", -450.0, -1)
    assert (plane.across.axis, plane.across.ways) == ("x", 1)
    assert (plane.down.axis, plane.down.ways) == ("z", -1)
    assert {name for name, _ in plane.known} == set(plane_seen.POINTS)
    assert [name for name, _ in plane.ends] == ["block-front", "block-rear"]
    measured = weighed.findings.measurements[REF]
    assert math.dist(plane.ends[0][1], plane.ends[1][1]) == pytest.approx(
        measured.value_mm, abs=0.02
    )
    for name, at in plane_seen.PICKED.items():
        true = plane_seen.pixels(np.array([at]))[0]
        assert pixel(plane, at) == pytest.approx(true, abs=0.05), name


def test_a_flipped_print_is_put_right(tmp_path: Path) -> None:
    """The picture is mirrored in the file; the view shows the side as it was."""
    straight = found(tmp_path / "a")[1][REF]
    ruled = (
        "flipped: {is: yes, by: RO, on: 2026-01-02, because: The letters read backwards.}\n"
        "picks_ruled: {by: RO, on: 2026-01-02}"
    )
    weighed, planes = found(tmp_path / "b", photo=ruled, mirrored=True)
    assert [p for p in weighed.problems if not p.advice] == []
    plane = planes[REF]
    assert plane.mirrored and plane.seen_from == straight.seen_from
    assert (plane.across, plane.down) == (straight.across, straight.down)
    at = plane_seen.PICKED["block-front"]
    across, down = plane_seen.pixels(np.array([at]))[0]
    assert pixel(plane, at) == pytest.approx((plane_seen.FULL[0] - across, down), abs=0.05)


def test_a_refused_measurement_has_no_view(tmp_path: Path) -> None:
    halftone = "source: sources/paper"
    folder = plane_seen.written(tmp_path / "content", photo=halftone)
    (folder / "sources").mkdir()
    (folder / "sources/paper.md").write_text(
        "---\ntitle: The paper\ncitation: {type: article-newspaper}\ngeneration: halftone\n---\n"
    )
    weighed = weigh(folder, compare=0)
    assert "halftone" in (weighed.findings.measurements[REF].refused or "")
    assert rectified(weighed) == {}


def test_a_place_worked_over_is_outlined(tmp_path: Path) -> None:
    corners = plane_seen.pixels(np.array([[200.0, -100], [400, -100], [400, -200], [200, -200]]))
    outline = corners.round(1).tolist()
    plane = found(tmp_path, photo=f"retouched: [{{outline: {outline}, says: Painted}}]")[1][REF]
    (ring,) = plane.worked_over
    there = [(plane.across.value(x), plane.down.value(y)) for x, y in ring]
    assert there[0] == pytest.approx((200, -100), abs=0.3)
    assert there[2] == pytest.approx((400, -200), abs=0.3)


def test_what_may_stand_off_the_plane_widens_every_place(tmp_path: Path) -> None:
    near = found(tmp_path / "a", measurement="off_plane: 1 mm")[1][REF]
    far = found(tmp_path / "b", measurement="off_plane: 40 mm")[1][REF]
    for one, other in zip(near.everywhere, far.everywhere, strict=True):
        assert one.flat95_mm == other.flat95_mm <= one.half95_mm <= other.half95_mm
    assert far.worst.half95_mm > 1.5 * near.worst.half95_mm
    assert far.lean_mm == near.lean_mm


def test_a_plane_known_by_lengths_is_counted_from_its_own_points(tmp_path: Path) -> None:
    folder = plane_seen.written(tmp_path / "content")
    names = list(plane_seen.POINTS)
    pairs = [(0, 1), (4, 5), (0, 4), (1, 5), (0, 5), (1, 4), (2, 3)]
    lengths = "\n".join(
        f"  - {{between: [{names[a]}, {names[b]}], length: surveys/side}}" for a, b in pairs
    )
    record = folder / "measurements/block.yaml"
    text = record.read_text("utf-8").split("points:")[0]
    record.write_text(f"{text}references:\n{lengths}\n", "utf-8")
    weighed = weigh(folder, compare=0)
    measured = weighed.findings.measurements[REF]
    assert measured.value_mm == pytest.approx(150, abs=1)
    plane = rectified(weighed)[REF]
    assert plane.normal == "" and plane.origin == "front-upper" and plane.across.axis == "u"
    assert not plane.surveyed
    at = {name: (plane.across.value(x), plane.down.value(y)) for name, (x, y) in plane.known}
    assert at["front-upper"] == pytest.approx((0, 0), abs=0.02)
    assert at["rear-lower"] == pytest.approx((2000, -900), abs=2)
    assert plane.worst.half95_mm < 30


def test_an_askew_plane_says_so(tmp_path: Path) -> None:
    folder = plane_seen.written(tmp_path / "content")
    survey = folder / "surveys/side.yaml"
    lines = []
    for line in survey.read_text("utf-8").splitlines():
        for name, (x, _) in plane_seen.POINTS.items():
            if f"id: {name}," in line:
                line = line.replace("y: -450 mm", f"y: {-450 + 0.1 * x:g} mm")
        lines.append(line)
    survey.write_text("\n".join(lines) + "\n", "utf-8")
    plane = rectified(weigh(folder, compare=0))[REF]
    assert plane.normal == "" and plane.seen_from == 0 and plane.surveyed
    assert (plane.across.axis, plane.down.axis) == ("u", "v")


@pytest.mark.parametrize(
    "sealed", ["photos/side.md", "surveys/side.yaml", "measurements/block.yaml"]
)
def test_what_is_sealed_has_no_view_for_the_crew(tmp_path: Path, sealed: str) -> None:
    folder = plane_seen.written(tmp_path / "content")
    record = folder / sealed
    text = record.read_text("utf-8")
    record.write_text(
        text.replace("---\n", "---\nsealed: true\n", 1)
        if text.startswith("---")
        else f"{text}sealed: true\n",
        "utf-8",
    )
    weighed = weigh(folder, compare=0)
    assert weighed.findings.measurements[REF].value_mm
    planes = rectified(weighed)
    assert planes
    seen = (weighed.library, weighed.findings, weighed.problems, weighed.images)
    day = date(2026, 11, 25)
    assert crew_view(*seen, day, rectified=planes).rectified == {}


def test_the_public_has_none(tmp_path: Path) -> None:
    weighed, planes = found(tmp_path)
    day = date(2026, 11, 25)
    assert planes
    assert public_view(weighed.library, weighed.findings, weighed.images, day).rectified == {}
