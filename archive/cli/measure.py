"""`witnessmark measure`: the size that each measurement gives and its error, or why none."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from archive.cli.exits import (
    CONTENT,
    FINE,
    NOT_CLEARED,
    UNREADABLE,
    WRONG_USE,
    content_folder,
    epilog,
    private_cache,
    stop,
    today,
    told,
)

if TYPE_CHECKING:
    from archive.core.verdicts import Findings, Measured


class Corner(click.ParamType[tuple[float, float]]):
    """Two figures with a comma between them: a place by the figures at a view's grid, mm."""

    name = "ACROSS,UP"

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[float, float]:
        """(across, up), or a wrong use of the command."""
        try:
            across, up = (float(one.replace("−", "-")) for one in str(value).split(","))
        except ValueError:
            self.fail(f"“{value}” is no place; write it as 300,-400.", param, ctx)
        if not (abs(across) < 1e6 and abs(up) < 1e6):
            self.fail(f"“{value}” is no place on an aircraft.", param, ctx)
        return across, up


@click.command(epilog=epilog(FINE, WRONG_USE, UNREADABLE, NOT_CLEARED))
@click.argument("ids", nargs=-1)
@click.option("--in", "content", type=CONTENT, help="The content folder; ./content if left out.")
@click.option(
    "--simulate",
    is_flag=True,
    help="Draw all observations anew many times as well, as a check.",
)
@click.option("--json", "as_json", is_flag=True, help="Print the results as JSON.")
@click.option(
    "--template",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="FILE.pdf",
    help="Set the plane of one measurement at true size, on sheets that join.",
)
@click.option("--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True,
              help="With --template: the paper in the printer.")  # fmt: skip
@click.option("--area", type=Corner(), nargs=2,
              help="With --template: two corners of the part to set, by the figures at the grid on "
              "the measurement's page (mm), such as 300,-400 900,-900.")  # fmt: skip
@click.option("--whole", is_flag=True, help="With --template: all that is shown of the plane.")
def measure(
    ids: tuple[str, ...],
    content: Path | None,
    simulate: bool,
    as_json: bool,
    template: Path | None,
    paper: str,
    area: tuple[tuple[float, float], tuple[float, float]] | None,
    whole: bool,
) -> None:
    """The sizes that measurements give: all of them, or those of the IDs named.

    Each with its 95 % error, the terms of the error (one standard deviation each), and what would
    halve it; or the reason why it gives no size, and the way out. For static display only.

    With --template the plane that one measurement was taken on is set at true size as PDF: a sheet
    that says what it can't tell, and sheets to lay side by side, each with a line to measure first.
    Without --area or --whole it is the part round what was measured. A measurement that is refused
    has no template (exit code 5).
    """
    if template is None and (area or whole):
        stop(WRONG_USE, "There is no template to cut a part for.", "Add --template FILE.pdf")
    if template is not None and (len(ids) != 1 or (area and whole)):
        hint = "Write it as: witnessmark measure ID --template FILE.pdf"
        stop(WRONG_USE, "A template is of one measurement, and of one part of it.", hint)
    with told():
        from archive.pipeline import weigh
        from archive.records.check_names import nearest
        from archive.records.schema import canonical_ref

        folder = content_folder(content)
        weighed = weigh(folder, private_cache(folder), clock=today())
        known = weighed.findings.measurements
        refs = []
        for written in ids:
            ref = written if "/" in written else f"measurements/{written}"
            ref = canonical_ref(ref) or ref
            if ref not in known:
                names = [name.partition("/")[2] for name in known]
                stop(WRONG_USE, f"There is no measurement {written}.", nearest(written, names))
            refs.append(ref)
        results = [known[ref] for ref in dict.fromkeys(refs or known)]
        if simulate:
            chosen = frozenset(result.ref for result in results)
            again = weigh(folder, private_cache(folder), clock=today(), simulate=chosen)
            results = [again.findings.measurements[result.ref] for result in results]
        sheets = 0
        if template is not None:
            from archive.cli.template import set_for
            from archive.core.atomic import write_file

            made, sheets = set_for(weighed, refs[0], today(), paper, area or None, whole)
            write_file(template, made)
    if as_json:
        plain = [
            {**result.as_json(), "counts_in": counts_in(weighed.findings, result.ref)}
            for result in results
        ]
        click.echo(json.dumps(plain, ensure_ascii=False, indent=2))
        sys.exit(FINE)
    aircraft = weighed.library.aircraft
    units = (aircraft.units if aircraft else None) or "mm"
    for result in results:
        click.echo(f"{result.ref}: {weighed.library.title(result.ref)}")
        for line in (*lines(result, units), *told_in(weighed.findings, result.ref, units)):
            click.echo(f"    {line}")
    if template is not None:
        click.echo(f"{template} is set: 1 sheet to read first, {sheets} to join. Print at 100 %.")
    sys.exit(FINE)


def lines(result: Measured, units: str) -> Iterator[str]:
    """A result as the command tells it, line by line; `units` is in or mm."""
    from archive.core.rounding import show_mm

    if result.laid_over:
        yield f"{result.finding.verdict}:"
        for reason in result.finding.reasons[1:]:
            yield f"[{reason.rule}] {reason.says}"
        yield f"To halve the error: {result.would_halve}"
        return
    if result.value_mm is None or result.u_mm is None:
        yield f"no size: {result.refused}"
        if result.way_out:
            yield result.way_out
        return
    first, other = (show_mm(result.value_mm, result.half95_mm, u) for u in (units, _other(units)))
    yield f"{first} ({other}), 95 times in 100"
    for name, u_mm in result.budget:
        part = (u_mm / result.u_mm) ** 2 if result.u_mm else 0.0
        if part >= 0.005:
            yield f"    {part:4.0%}  u {u_mm:.1f} mm  {name}"
    yield f"To halve the error: {result.would_halve}"
    for reason in result.finding.reasons[2:]:
        yield f"[{reason.rule}] {reason.says}"
    found = result.simulated
    if found:
        low, high = (show_mm(value, None, units) for value in (found.low_mm, found.high_mm))
        yield f"Simulated {found.draws} times: u {found.u_mm:.1f} mm, {low} to {high}"


def counts_in(findings: Findings, ref: str) -> list[dict[str, object]]:
    """The claims in which a measurement stands, its share there, and what they come to."""
    return [
        {
            "claim": claim,
            "share": line.share,
            "why": line.why,
            "verdict": found.finding.verdict,
            "value_mm": found.together.value_mm if found.together else None,
            "half95_mm": found.together.half95_mm if found.together else None,
        }
        for claim, found in findings.estimates.items()
        for line in found.lines
        if line.measured == ref
    ]


def told_in(findings: Findings, ref: str, units: str) -> Iterator[str]:
    """The same, line by line."""
    from archive.core.rounding import show_mm

    for one in counts_in(findings, ref):
        value, half = one["value_mm"], one["half95_mm"]
        size = "no value together"
        if isinstance(value, float) and isinstance(half, float):
            size = show_mm(value, half, units)
        share = one["share"]
        if isinstance(share, float) and share:
            yield f"In {one['claim']} it counts for {share:.0%} of {size} ({one['verdict']})"
        else:
            yield f"In {one['claim']} it is not counted in ({one['verdict']}). {one['why']}"


def _other(units: str) -> str:
    return "mm" if units == "in" else "in"
