"""Addresses of rights statements: RightsStatements.org and Creative Commons, and what they say.

The twelve statements of RightsStatements.org (version 1.0), and the licences and public domain
tools of Creative Commons: their addresses and elements are from memory of the published lists.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

_RIGHTS = re.compile(r"https?://rightsstatements\.org/(?:vocab|page)/([A-Za-z-]+)/1\.0/?")
_LICENCE = re.compile(
    r"https?://creativecommons\.org/licenses/(by(?:-nc)?(?:-sa|-nd)?)/"
    r"(1\.0|2\.0|2\.5|3\.0|4\.0)(?:/[a-z]{2,3})?/?(?:deed(?:\.[a-z-]+)?|legalcode)?"
)
_OPEN = re.compile(
    r"https?://creativecommons\.org/publicdomain/(zero|mark)/1\.0/?(?:deed(?:\.[a-z-]+)?)?"
)

IN_COPYRIGHT = frozenset({"InC", "InC-OW-EU", "InC-EDU", "InC-NC", "InC-RUU"})
NO_COPYRIGHT = frozenset({"NoC-CR", "NoC-NC", "NoC-OKLR", "NoC-US"})
UNDECIDED = frozenset({"CNE", "UND", "NKC"})


@dataclass(frozen=True, slots=True)
class Statement:
    """A rights statement: its short name, and whether it is a licence that allows use.

    `elements` are those of a licence (`by`, `nc`, `sa`, `nd`).
    """

    name: str
    licence: bool = False
    elements: frozenset[str] = frozenset()

    @property
    def free(self) -> bool:
        """Whether it says that there is no copyright, or that it was given up."""
        return self.name in NO_COPYRIGHT or self.name in ("zero", "mark")


def statement_of(address: str) -> Statement | None:
    """What an address stands for; None for one that isn't on the published lists.

    >>> statement_of("https://creativecommons.org/licenses/by-nc/4.0/").elements == {"by", "nc"}
    True
    >>> statement_of("http://rightsstatements.org/vocab/InC/1.0/").name
    'InC'
    >>> statement_of("https://example.org/free")
    """
    address = address.strip()
    if found := _RIGHTS.fullmatch(address):
        known = IN_COPYRIGHT | NO_COPYRIGHT | UNDECIDED
        return Statement(found[1]) if found[1] in known else None
    if found := _LICENCE.fullmatch(address):
        return Statement(f"CC {found[1].upper()} {found[2]}", True, frozenset(found[1].split("-")))
    if found := _OPEN.fullmatch(address):
        return Statement(found[1], found[1] == "zero")
    return None
