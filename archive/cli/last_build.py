"""What has moved since the crew's site was built last, as the private cache remembers that."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from archive.core.kept import Kept
from archive.core.sealed import Sealed
from archive.reasoning.foresee import change, today

if TYPE_CHECKING:
    from archive.core.foresight import Change
    from archive.pipeline import Weighed

LAST = Sealed("last-build.bin", ("core",))
NAME = "the last build"


def since_last_build(cache: Path | None, weighed: Weighed) -> Change | None:
    """What differs between the last build and these findings; None where no build is known."""
    last = LAST.fetch(cache) if cache else None
    if not isinstance(last, Kept):
        return None
    return change(weighed.library, last, today(weighed.library, weighed.findings))


def remember_build(cache: Path | None, weighed: Weighed, day: date) -> None:
    """Remember that a site was built from these findings."""
    if cache:
        LAST.keep(cache, replace(today(weighed.library, weighed.findings), name=NAME, on=day))
