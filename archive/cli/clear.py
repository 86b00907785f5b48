"""`witnessmark clear`: may this step be taken on this part, and if not, what stops it."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable
from datetime import date
from pathlib import Path

import click

from archive.cli.exits import (
    CONTENT,
    FINE,
    NOT_CLEARED,
    UNREADABLE,
    WRONG_USE,
    Day,
    OneOf,
    content_folder,
    epilog,
    private_cache,
    say_no_more,
    stop,
    today,
    told,
)


def _asked() -> Iterable[str]:
    from archive.core.verdicts import STEPS

    return [step for step in STEPS if step != "look"]


@click.command(epilog=epilog(FINE, WRONG_USE, UNREADABLE, NOT_CLEARED))
@click.argument("part")
@click.option("--step", type=OneOf(_asked), required=True, help="What is to be done.")
@click.option("--treatment", metavar="ID", help="Which treatment of the original.")
@click.option("--as-of", type=Day(), help="The day asked about; today if left out.")
@click.option("--in", "content", type=CONTENT, help="The content folder; ./content if left out.")
@click.option("--json", "as_json", is_flag=True, help="Print the finding as JSON.")
def clear(
    part: str,
    step: str,
    treatment: str | None,
    as_of: date | None,
    content: Path | None,
    as_json: bool,
) -> None:
    """May this STEP be taken on PART? The verdict, and every reason that stops it.

    For new stock the steps are a mock-up in card, trial stock, and the cut for display; touching
    an original (to trace, straighten, drill, trim or refit it) is asked apart, by the treatment
    that is meant: one of several by --treatment, else all that name an operation. It exits 0 where
    the step is cleared, 5 where it is held. Cautions that the part is flagged with follow. Static
    display only: nothing here inspects or releases a part.
    """
    with told():
        from archive.cli.records_asked import leant_on, part_asked
        from archive.cli.why import CAUTION
        from archive.pipeline import weigh
        from archive.reasoning.docket import CLEARED
        from archive.records.check_names import nearest
        from archive.site.cautions import CAUTIONS

        folder = content_folder(content)
        weighed = weigh(folder, private_cache(folder), as_of, clock=today())
        library, known = weighed.library, weighed.findings.parts
        name = part_asked(library, part)
        finding = known[name].steps[step]
        asks = f"{name}, {step}"
        if treatment is not None:
            if step != "original":
                stop(WRONG_USE, f"A treatment is of an original: {step} has none.")
            meant = f"{name}#{treatment.rpartition('#')[2]}"
            if meant not in known[name].treatments:
                ids = [ref.partition("#")[2] for ref in known[name].treatments]
                stop(WRONG_USE, f"{name} has no treatment {treatment}.", nearest(treatment, ids))
            finding, asks = known[name].treatments[meant], f"{meant}, {step}"
        paths = leant_on(library, name, finding)
        problems = [p for p in weighed.problems if not p.advice and p.where.path in paths]
        hazards = library.parts[name.partition("/")[2]].hazards
        cautions = [CAUTIONS[hazard] for hazard in hazards if hazard in CAUTIONS]
    if as_json:
        plain = {
            "ref": name,
            "step": step,
            "treatment": treatment,
            **finding.as_json(),
            "cautions": [{"hazard": one.name, "says": one.says} for one in cautions],
            "caution": CAUTION,
            "problems": [problem.as_json() for problem in problems],
        }
        lines = [json.dumps(plain, ensure_ascii=False, indent=2)]
    else:
        lines = [f"{asks}: {finding.verdict}"]
        for number, reason in enumerate(finding.reasons, 1):
            lines.append(f"  {number}. [{reason.rule}] {reason.says}")
            lines += [f"       {record}" for record in reason.rests_on]
        lines += [f"Take care. {one.name}: {one.says}" for one in cautions]
        lines += [str(problem) for problem in problems]
        lines.append(CAUTION)
    # A reader who goes away early turns no hold into a go.
    try:
        click.echo("\n".join(lines))
    except BrokenPipeError:
        say_no_more()
    sys.exit(FINE if finding.verdict == CLEARED else NOT_CLEARED)
