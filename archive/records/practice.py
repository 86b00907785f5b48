"""The rules as this team applies them: the rule book, and what policy.yaml changes in it.

A policy may tighten what it likes. It may loosen nothing that guards metal or an original: what an
item of evidence lends is never raised, and no floor beneath a cut is lowered.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from archive.core.verdicts import GRADES
from archive.records.policy import Override, Policy

LENDS: Mapping[str, str] = MappingProxyType(
    {
        "G1": "on the airframe",
        "G2": "matched",
        "G3": "matched",
        "G4": "seen",
        "G7": "seen",
        "G8": "said",
        "G9": "seen",
        "G16": "said",
        "G17": "seen",
    }
)
"""The rules that lend a grade to an item of evidence → the best that they lend."""


@dataclass(frozen=True)
class Practice:
    """The figures of the rules, as a team applies them; the defaults are the rule book's.

    `lends` gives the best grade that a grading rule lends, where the team has lowered it;
    `witnesses` how many corroborate (G5); `persons` how many lift a claim to seen or better (G22);
    `trial` and `cut` the grades that these steps ask for, `also` further aspects for a cut; `share`
    the part of the tolerance that an error may take; `signatures`, `roles` what a decision to build
    needs; `options`, `touching`, `touching_roles` what a treatment of an original needs;
    `marked_always` whether every new part has its mark planned. `applied` gives the overrides that
    changed something, by rule.
    """

    lends: Mapping[str, str] = field(default_factory=dict)
    witnesses: int = 2
    persons: int = 2
    trial: str = "said"
    cut: str = "seen"
    also: tuple[str, ...] = ()
    share: float = 1.0
    signatures: int = 1
    roles: tuple[str, ...] = ()
    options: int = 2
    touching: int = 2
    touching_roles: tuple[str, ...] = ()
    marked_always: bool = False
    applied: Mapping[str, tuple[Override, ...]] = field(default_factory=dict)

    @property
    def grades_otherwise(self) -> bool:
        """Does anything in it bear on grades?"""
        return any(rule.startswith("G") for rule in self.applied)

    def clearing(self) -> list[object]:
        """What bears on clearance, as JSON values; empty where the rule book holds."""
        if not any(rule.startswith("C") for rule in self.applied):
            return []
        return [
            self.trial,
            self.cut,
            sorted(self.also),
            self.share,
            [self.signatures, sorted(self.roles)],
            [self.options, self.touching, sorted(self.touching_roles)],
            self.marked_always,
        ]


BOOK = Practice()
"""The rule book as it is."""


def practice(policy: Policy | None) -> Practice:
    """The rules as the policy has them; what it may not change stays as the rule book has it."""
    found = BOOK
    for override in policy.overrides if policy else ():
        if override.lost or refusal(override) or not changes(override):
            continue
        rule = override.rule or ""
        changed = _CHANGE[_kind(rule)](found, override)
        if changed != found:
            applied = {**found.applied, rule: (*found.applied.get(rule, ()), override)}
            found = replace(changed, applied=applied)
    return found


def changes(override: Override) -> bool:
    """Does it say something that can be applied to its rule?"""
    kind = _kind(override.rule or "")
    return kind in _CHANGE and any(_is_set(override, name) for name in _TAKES[kind])


def refusal(override: Override) -> str:
    """Why an override is refused, a sentence; "" where it may be applied."""
    kind = _kind(override.rule or "")
    if kind not in _CHANGE:
        return ""
    wrong = [n for n in _FIELDS if _is_set(override, n) and n not in _TAKES[kind]]
    if wrong:
        takes = " or ".join(f"`{name}:`" for name in _TAKES[kind])
        return f"{override.rule} takes {takes}, not `{wrong[0]}:`."
    return next(_loosening(kind, override), "")


def _loosening(kind: str, override: Override) -> Iterator[str]:
    grade, number = override.grade, override.number
    if kind == "lends" and grade and _rank(grade) < _rank(LENDS[override.rule or ""]):
        best = LENDS[override.rule or ""]
        yield f"{override.rule} lends {best} at most: a policy may lower that, never raise it."
    if kind == "C3" and grade and _rank(grade) > _rank(BOOK.cut):
        yield f"A cut asks for {BOOK.cut} or better: a policy may ask for more, never for less."
    floor = _FEWEST.get(kind)
    if floor is not None and number is not None and number < floor[0]:
        yield f"{floor[1]}: a policy may ask for more, never for fewer."
    if kind == "C4" and override.share is not None and not 0 < override.share <= 1:
        yield (
            "An error wider than the tolerance cuts metal that does not fit: the share is more"
            " than 0 and at most 1."
        )
    if kind == "C14" and override.always is False:
        yield "What is built provisionally is marked: a policy may ask it of more, never of less."


def _is_set(override: Override, name: str) -> bool:
    return getattr(override, name) not in (None, ())


def _rank(grade: str) -> int:
    return GRADES.index(grade)


def _kind(rule: str) -> str:
    return "lends" if rule in LENDS else rule


_FIELDS = ("grade", "number", "share", "also", "roles", "always")
_TAKES: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "lends": ("grade",),
        "G5": ("number",),
        "G22": ("number",),
        "C2": ("grade",),
        "C3": ("grade", "also"),
        "C4": ("share",),
        "C5": ("number", "roles"),
        "C10": ("number",),
        "C11": ("number", "roles"),
        "C14": ("always",),
    }
)
"""What can be overridden → the fields that say how."""

CHANGEABLE: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {**dict.fromkeys(LENDS, _TAKES["lends"]), **{k: v for k, v in _TAKES.items() if k != "lends"}}
)
"""Number of each rule that a policy can change → the fields that say how."""

_FEWEST: Mapping[str, tuple[int, str]] = MappingProxyType(
    {
        "G5": (BOOK.witnesses, "It takes two witnesses to corroborate"),
        "G22": (BOOK.persons, "Nobody alone lifts a claim to seen or better"),
        "C5": (BOOK.signatures, "A decision to build is signed"),
        "C10": (BOOK.options, "An original is touched only where two options were weighed"),
        "C11": (BOOK.touching, "An original is touched on two signatures"),
    }
)


def _more(now: int, number: int | None) -> int:
    return max(now, number or 0)


def _both(one: tuple[str, ...], other: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*one, *(word.lower() for word in other))))


def _higher(one: str, other: str | None) -> str:
    return min(one, other or one, key=_rank)


def _lend(found: Practice, said: Override) -> Practice:
    rule, grade = said.rule or "", said.grade or ""
    now = found.lends.get(rule, LENDS[rule])
    if _rank(grade) <= _rank(now):
        return found
    return replace(found, lends={**found.lends, rule: grade})


def _trial(found: Practice, said: Override) -> Practice:
    """Trial stock guards nothing but stock: its floor may go either way, once; then up."""
    grade = said.grade or found.trial
    if "C2" in found.applied:
        grade = _higher(found.trial, grade)
    return replace(found, trial=grade, cut=_higher(found.cut, grade))


_CHANGE: Mapping[str, Callable[[Practice, Override], Practice]] = MappingProxyType(
    {
        "lends": _lend,
        "G5": lambda found, said: replace(found, witnesses=_more(found.witnesses, said.number)),
        "G22": lambda found, said: replace(found, persons=_more(found.persons, said.number)),
        "C2": _trial,
        "C3": lambda found, said: replace(
            found, cut=_higher(found.cut, said.grade), also=_both(found.also, said.also)
        ),
        "C4": lambda found, said: replace(found, share=min(found.share, float(said.share))),
        "C5": lambda found, said: replace(
            found,
            signatures=_more(found.signatures, said.number),
            roles=_both(found.roles, said.roles),
        ),
        "C10": lambda found, said: replace(found, options=_more(found.options, said.number)),
        "C11": lambda found, said: replace(
            found,
            touching=_more(found.touching, said.number),
            touching_roles=_both(found.touching_roles, said.roles),
        ),
        "C14": lambda found, said: replace(found, marked_always=bool(said.always)),
    }
)
