"""What records say of each other, checked: names that lead nowhere, circles, contradictions, gaps.

Each rule is a small function from the library to problems; this page lists them all.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import date, timedelta

from archive.core.images import ImageFacts
from archive.core.problems import Problem, Where
from archive.records import (
    check_aircraft,
    check_cards,
    check_circles,
    check_claims,
    check_decisions,
    check_measurements,
    check_names,
    check_photos,
    check_pictures_drawn,
    check_policy,
    check_rights,
    check_sources,
    check_todos,
    check_treatments,
)
from archive.records.claim import Ruling
from archive.records.decision import Approval
from archive.records.library import Library, nodes_in
from archive.records.spec import Judged, fields_of

Rule = Callable[[Library], Iterator[Problem]]

RULES: tuple[Rule, ...] = (
    check_names.unknown_names,
    check_names.unknown_people,
    check_names.pieces_twice,
    check_names.ids_twice,
    check_aircraft.zone_numbers,
    check_aircraft.zone_sides,
    check_aircraft.systems,
    check_aircraft.configurations_in_order,
    check_aircraft.fitted_in_order,
    check_aircraft.sisters_named,
    check_aircraft.site_address,
    check_circles.origins,
    check_circles.containers,
    check_circles.assemblies,
    check_circles.replacements,
    check_circles.supersessions,
    check_circles.support,
    check_claims.one_thing_named,
    check_claims.one_value,
    check_claims.sizes,
    check_claims.rivals,
    check_claims.rivals_against,
    check_claims.members,
    check_claims.measured_there,
    check_photos.alternatives,
    check_photos.sides_to_rule,
    check_photos.side_words,
    check_photos.regions_shown,
    check_photos.negatives,
    check_photos.states,
    check_sources.citations,
    check_sources.judgements,
    check_sources.consents,
    check_rights.contradictions,
    check_measurements.picks,
    check_measurements.opposite_points,
    check_decisions.options,
    check_decisions.letters,
    check_decisions.treatments,
    check_treatments.built_on,
    check_treatments.days,
    check_treatments.signed_for,
    check_cards.numbers,
    check_cards.issues,
    check_cards.unaltered,
    check_policy.overrides,
    check_todos.open_todos,
)


def check(library: Library, as_of: date | None = None) -> list[Problem]:
    """Every problem between records, in order of place.

    `as_of` is the day that the question is asked of: given one, days written as `on` that lie
    far after it are advised of, and signatures and rulings of a grade after it are problems.
    """
    problems = {problem for rule in RULES for problem in rule(library)}
    if as_of is not None:
        problems |= set(_days_to_come(library, as_of))
    return sorted(problems)


def check_pictures(library: Library, facts: Mapping[str, ImageFacts]) -> list[Problem]:
    """What is drawn on pictures against the pictures themselves; `facts` is by photo id.

    A photograph without facts is passed over.
    """
    rules = (check_pictures_drawn.drawn, check_pictures_drawn.twins)
    return sorted({problem for rule in rules for problem in rule(library, facts)})


A_YEAR = timedelta(days=366)
"""How far ahead a recorded day may lie before somebody is asked to look at it again."""


def _days_to_come(library: Library, as_of: date) -> Iterator[Problem]:
    for record in library.records:
        for node in nodes_in(record):
            if not (isinstance(node, Judged) or "on" in fields_of(type(node))):
                continue
            day = getattr(node, "on", None)
            where = Where(record.path, *node.mark_of("on"))
            if isinstance(node, Approval | Ruling) and isinstance(day, date) and day > as_of:
                says = f"{day.isoformat()} is still to come: what is signed on it doesn't count."
                hint = "Check the year; else sign again when the day has come."
                yield Problem(where, "signed-to-come", says, hint)
            elif isinstance(day, date) and day > as_of + A_YEAR:
                says = f"{day.isoformat()} is more than a year away."
                yield Problem(where, "day-to-come", says, "Check the year.", advice=True)
