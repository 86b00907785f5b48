"""Rights that contradict themselves: until somebody mends them they allow nothing."""

from __future__ import annotations

from collections.abc import Iterator

from archive.core.problems import Problem
from archive.core.statements import Statement, statement_of
from archive.records.check_names import at
from archive.records.library import Library
from archive.records.source import Rights


def contradictions(library: Library) -> Iterator[Problem]:
    """A source's rights say one thing at a time."""
    for source in library.sources.values():
        if source.rights is not None:
            for says in clashes(source.rights):
                hint = "Look at the letter, and correct one of the two. Until then it is withheld."
                yield Problem(at(source, source.rights, ""), "rights-contradict", says, hint)


def clashes(rights: Rights) -> Iterator[str]:
    """What in an item's rights contradicts itself, a sentence each."""
    statement = statement_of(rights.statement) if rights.statement else None
    if rights.statement and statement is None:
        yield "Its rights statement is none of the published addresses."
    if rights.basis == "unknown" and rights.grants:
        yield "Something is granted, and nobody knows by whom."
    if statement:
        yield from _against_basis(rights.basis or "", statement)
    granted = {grant.use for grant in rights.grants if grant.use}
    for use in sorted(granted & set(rights.refused)):
        yield f"Its use for {use} is granted and refused."
    for grant in rights.grants:
        if grant.since and grant.until and grant.until < grant.since:
            yield f"The grant for {grant.use} ends before it begins."


def _against_basis(basis: str, statement: Statement) -> Iterator[str]:
    bound = not statement.free and not statement.licence
    if basis == "public-domain" and (bound or statement.elements):
        yield f"It is called public domain; its statement ({statement.name}) says otherwise."
    given_away = statement.free or bool(statement.elements)
    if basis in ("permission", "orphan") and given_away:
        yield f"Its basis is {basis}, and its statement ({statement.name}) says otherwise."
    if basis == "own" and statement.free and not statement.licence:
        yield f"It is called our own, and its statement ({statement.name}) says otherwise."
    if basis == "own" and statement.name in ("InC-OW-EU", "InC-RUU", "CNE", "UND", "NKC"):
        yield f"It is called our own, and its statement ({statement.name}) says otherwise."
