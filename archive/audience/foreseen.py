"""What is foreseen, without a trace of sealed records."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable

from archive.core.findings import Reason
from archive.core.foresight import Foreseen, Holding, Impact, Moved


def foreseen_without(foreseen: Foreseen, sealed: frozenset[str]) -> Foreseen:
    """What is foreseen, less every line that is about a sealed record, rests on one or names one.

    What would fall with a sealed record isn't told; neither is a step that asks about one.
    """

    def shown(ref: str) -> bool:
        return ref.partition("#")[0] not in sealed

    def told(reason: Reason | None) -> bool:
        return reason is None or all(map(shown, reason.rests_on))

    def lines(found: Iterable[Moved]) -> tuple[Moved, ...]:
        return tuple(line for line in found if shown(line.ref) and told(line.matters))

    def without(found: Impact) -> Impact:
        return dataclasses.replace(
            found,
            moved=lines(found.moved),
            stands=tuple(filter(shown, found.stands)),
            beside=tuple(b for b in found.beside if shown(b.part) and shown(b.other)),
            told_in=tuple(filter(shown, found.told_in)),
        )

    return Foreseen(
        falls={
            ref: without(found)
            for ref, found in foreseen.falls.items()
            if shown(ref) and not any(name in found.supposed for name in sealed)
        },
        untried=foreseen.untried,
        lifts={
            ref: tuple(step for step in steps if all(map(shown, step.rests_on)))
            for ref, steps in foreseen.lifts.items()
            if shown(ref)
        },
        holding=Holding(
            tuple(
                dataclasses.replace(
                    stop,
                    parts=tuple(filter(shown, stop.parts)),
                    alone=tuple(filter(shown, stop.alone)),
                )
                for stop in foreseen.holding.stops
                if shown(stop.on) and any(map(shown, stop.parts))
            ),
            tuple(
                dataclasses.replace(one, stops=tuple(filter(told, one.stops)))
                for one in foreseen.holding.waiting
                if shown(one.part)
            ),
        ),
        changes=tuple(
            dataclasses.replace(change, moved=lines(change.moved)) for change in foreseen.changes
        ),
    )
