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
    UNREADABLE,
    WRONG_USE,
    content_folder,
    epilog,
    private_cache,
    stop,
    told,
)

if TYPE_CHECKING:
    from archive.core.verdicts import Findings, Measured


@click.command(epilog=epilog(FINE, WRONG_USE, UNREADABLE))
@click.argument("ids", nargs=-1)
@click.option("--in", "content", type=CONTENT, help="The content folder; ./content if left out.")
@click.option(
    "--simulate",
    is_flag=True,
    help="Draw all observations anew many times as well, as a check.",
)
@click.option("--json", "as_json", is_flag=True, help="Print the results as JSON.")
def measure(ids: tuple[str, ...], content: Path | None, simulate: bool, as_json: bool) -> None:
    """The sizes that measurements give: all of them, or those of the IDs named.

    Each with its 95 % error, the terms of the error (one standard deviation each), and what would
    halve it; or the reason why it gives no size, and the way out. For static display only.
    """
    with told():
        from archive.pipeline import weigh
        from archive.records.check_names import nearest
        from archive.records.schema import canonical_ref

        folder = content_folder(content)
        weighed = weigh(folder, private_cache(folder))
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
            again = weigh(folder, private_cache(folder), simulate=chosen).findings.measurements
            results = [again[result.ref] for result in results]
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
