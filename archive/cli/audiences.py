"""What each audience may see on a day, for the commands that hand something out."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import click

from archive.cli.check import count
from archive.cli.exits import PROBLEMS, stop

if TYPE_CHECKING:
    from archive.audience.view import View
    from archive.core.publications import Recalled
    from archive.pipeline import Weighed


def view_for(audience: str, weighed: Weighed, day: date, made: str, hint: str = "") -> View:
    """The view of "crew", "record" or "public".

    Ends the command with exit code 1 where nothing may go to the public; `made` then says what is
    not made, such as "The public's site", and `hint` what the reader should know besides.
    """
    from archive.audience.recalled import recalled_for
    from archive.pipeline import foresee, originality, rectified

    seen = (weighed.library, weighed.findings, weighed.problems, weighed.images, day)
    if audience == "crew":
        from archive.audience.crew import crew_view

        view = crew_view(*seen, foresee(weighed), rectified(weighed))
        return replace(
            view, published=recalled_for(recalls(weighed, day), weighed.library, view.library)
        )
    if audience == "record":
        from archive.audience.record import record_view

        view = record_view(*seen, foresee(weighed), originality(weighed))
        return replace(view, published=recalls(weighed, day))
    from archive.audience.public import public_problems, public_view

    view = public_view(weighed.library, weighed.findings, weighed.images, day, originality(weighed))
    against = public_problems(weighed.library, view, weighed.problems)
    if against:
        for problem in against:
            click.echo(str(problem), err=True)
        stop(PROBLEMS, f"{made} is not made: {count(against, 'problem')} above.", hint)
    return view


def recalls(weighed: Weighed, day: date) -> tuple[Recalled, ...]:
    """Each edition that went out against what the public may see on a day, oldest first."""
    if not weighed.published:
        return ()
    from archive.audience.public import public_view
    from archive.audience.recalled import recalled

    view = public_view(weighed.library, weighed.findings, weighed.images, day)
    return recalled(weighed.published, weighed.library, weighed.findings, view)
