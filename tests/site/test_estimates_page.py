"""The axis of figures: what is drawn where, and the table that says the same."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

from archive.audience.crew import crew_view
from archive.pipeline import weigh
from archive.site.context import Context
from archive.site.estimate import EstimateShown, shown
from archive.site.pages import pages, site_of
from archive.site.render import render

DEMO = Path(__file__).parents[2] / "content"


@pytest.fixture(scope="module")
def context() -> Context:
    found = weigh(DEMO)
    view = crew_view(found.library, found.findings, found.problems, found.images, date(2026, 10, 1))
    return Context(view, {}, site_of(view))


def of(context: Context, ref: str) -> EstimateShown:
    return shown(context, context.findings.estimates[ref])


def test_values_stand_on_the_axis_in_order_and_to_scale(context: Context) -> None:
    """A millimetre is as wide everywhere: bars, ticks and the spindle share one scale."""
    estimated = context.findings.estimates["parts/strut-front-port#length"]
    plot = of(context, estimated.ref).plot
    assert plot is not None and plot.spindle is not None
    at = [
        (line.value_mm, float(bar.at)) for line, bar in zip(estimated.lines, plot.bars, strict=True)
    ]
    at += [(float(tick.name), float(tick.x)) for tick in plot.ticks]
    at.append((estimated.together.value_mm, float(plot.spindle.at)))
    at.sort()
    (low, left), (high, right) = at[0], at[-1]
    for value, x in at:
        assert x == pytest.approx(left + (value - low) / (high - low) * (right - left), abs=0.3)
    for line, bar in zip(estimated.lines, plot.bars, strict=True):
        half = float(bar.high) - float(bar.at)
        assert half == pytest.approx(line.half95_mm * (right - left) / (high - low), abs=0.3)
        assert float(bar.low) >= 0 and float(bar.high) <= float(plot.width)


def test_the_table_says_what_the_drawing_shows(context: Context) -> None:
    found = of(context, "parts/strut-front-port#length")
    assert len(found.figures) == len(found.plot.bars) == 5
    shares = [float(figure.share.rstrip(" %")) for figure in found.figures if figure.share]
    assert sum(shares) == pytest.approx(100, abs=2)
    analogy = next(figure for figure in found.figures if not figure.share)
    assert analogy.grade.words == "said" and "only said" in analogy.why


def test_what_disagrees_is_told_and_has_no_share(context: Context) -> None:
    found = of(context, "parts/water-rudder-port#depth")
    assert found.open and not found.size and found.plot.spindle is None
    assert [figure.share for figure in found.figures] == ["", ""]
    assert found.figures[0].why == "They disagree: none is counted in."


def test_stock_sizes_and_the_figure_chosen_are_drawn(context: Context) -> None:
    found = of(context, "parts/chine-port#rivet-pitch")
    assert [tick.name for tick in found.plot.stock if tick.likely] == ["7/8 in"]
    assert found.plot.made_to and found.plot.band
    wall = of(context, "parts/frame-fuselage#longeron-wall")
    assert not any(tick.likely for tick in wall.plot.stock)
    assert {size.name for size in wall.stock_sizes[:2]} == {"No. 20 BWG", "No. 21 BWG"}


def test_members_of_a_row_are_named(context: Context) -> None:
    found = of(context, "parts/ribs-main#spar-slot")
    assert [figure.member for figure in found.figures] == ["L-P4", "L-P5", "L-S7"]


def test_the_page_has_every_size_once_and_draws_with_classes_alone(context: Context) -> None:
    page = next(p for p in pages(context.view, {}) if p.path == "estimates.html")
    text = render(page).decode()
    assert text.index("Figures that disagree") < text.index("Sizes on one axis")
    sized = [e for e in context.findings.estimates.values() if e.together is not None]
    data = page.data
    drawn = (*data.disagree, *data.several, *data.rest)  # type: ignore[attr-defined]
    assert len(drawn) == len(sized)
    for svg in re.findall(r'<svg class="axis-of-figures".*?</svg>', text, re.S):
        assert 'role="img"' in svg and "aria-label=" in svg and "style=" not in svg
