"""Editions that went out: what each carried and who holds copies, and what must be told today."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from archive.core.findings import Finding


@dataclass(frozen=True, slots=True)
class Carried:
    """A record or a claim that an edition showed.

    `grade` is a claim's, or that which a part's `label` was held to; "" where there is none.
    """

    grade: str = ""
    label: str = ""


@dataclass(frozen=True, slots=True)
class Publication:
    """An edition that went out: its name, its day, the id of its bytes, and who holds copies.

    `carried` is by REF, of whole records and of claims.
    """

    name: str
    on: date
    audience: str
    build: str
    copies: tuple[str, ...]
    carried: Mapping[str, Carried] = field(default_factory=dict)

    @property
    def path(self) -> str:
        """Its file in the content folder."""
        return f"publications/{self.name}.yaml"


@dataclass(frozen=True, slots=True)
class Recalled:
    """What an edition that went out shows otherwise than one made today would.

    `withdrawn` are REFs that it carried and that may not be shown any more, each with the reasons;
    `labels` the parts whose label says now something else, or is held to another grade, with a
    sentence; `moved` the claims whose grade has changed: (REF, grade then, grade today).
    """

    publication: Publication
    withdrawn: tuple[tuple[str, Finding], ...] = ()
    labels: tuple[tuple[str, str], ...] = ()
    moved: tuple[tuple[str, str, str], ...] = ()

    @property
    def to_tell(self) -> bool:
        """Whether those who hold copies must be told."""
        return bool(self.withdrawn or self.labels)
