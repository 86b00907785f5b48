"""How decisions stand: signed or not, superseded, or reopened because their evidence moved.

D1  A decision that another one supersedes no longer stands.
D2  A decision without an approval is unsigned.
D3  An approval is pinned to the evidence state that was signed: when that moves, it is reopened.
    Of one person's approvals the last in the file counts.
D4  An approval that names no evidence state, or a day still to come, or nobody that is known, is
    none; nor is one whose letter isn't there, was found not to be what it says, or was taken back.
"""

from __future__ import annotations

from collections.abc import Mapping

from archive.core.dates import Day, show_bounds
from archive.core.findings import Finding, Reason
from archive.core.rules import RULE_SET
from archive.core.verdicts import Graded, Standing
from archive.reasoning.canon import code
from archive.reasoning.trust import discredited, taken_back
from archive.records.decision import Decision
from archive.records.library import Library
from archive.records.part import Part, Treatment
from archive.records.practice import Practice, practice
from archive.records.spec import Node, fields_of

STANDS, SUPERSEDED, UNSIGNED, REOPENED = "stands", "superseded", "unsigned", "reopened"


def standings(
    library: Library,
    claims: Mapping[str, Graded],
    as_of: Day | None = None,
    of_part: Mapping[str, tuple[str, ...]] | None = None,
) -> dict[str, Standing]:
    """How each decision stands, by REF; what is dated after `as_of` has not happened yet.

    `of_part` is `claims_of_parts`, where it is at hand.
    """
    of_part = claims_of_parts(library) if of_part is None else of_part
    rules = practice(library.policy)
    newer: dict[str, str] = {}
    for decision in library.decisions.values():
        for old in decision.supersedes:
            newer.setdefault(old, decision.ref)
    return {
        decision.ref: _standing(
            library,
            claims,
            decision,
            newer.get(decision.ref, ""),
            claims_behind(decision, claims, of_part),
            as_of,
            rules,
        )
        for decision in library.decisions.values()
    }


def claims_of_parts(library: Library) -> dict[str, tuple[str, ...]]:
    """REF of each part → the REFs of its claims."""
    return {
        part.ref: tuple(f"{part.ref}#{claim.id}" for claim in part.claims)
        for part in library.parts.values()
    }


def claims_behind(
    decision: Decision, claims: Mapping[str, Graded], of_part: Mapping[str, tuple[str, ...]]
) -> tuple[str, ...]:
    """The claims that a decision leans on: those it names, and those of the parts it is about.

    `of_part` gives the claims of each part, by REF; the answer is sorted.
    """
    named = [*decision.leans_on, *decision.about]
    for option in decision.options:
        named += [*option.evidence, *option.against]
    found = {ref for ref in named if ref in claims}
    for ref in decision.about:
        found.update(of_part.get(ref, ()))
    return tuple(sorted(found))


def treatments_behind(library: Library, decision: Decision) -> list[object]:
    """The treatments that a decision names, with the record of the original as it was found.

    What is done to an original, and what it was like before, is signed with the evidence; that it
    was carried out since is not.
    """
    found: list[object] = []
    for ref in sorted({*decision.about, *decision.leans_on}):
        piece = library.get(ref) if ref.startswith("parts/") and "#" in ref else None
        if isinstance(piece, Treatment):
            part = library.parts[ref.partition("#")[0].partition("/")[2]]
            found.append([ref, *as_signed(part, piece)])
    return found


def as_signed(part: Part, treatment: Treatment) -> list[object]:
    """A treatment as proposed, the hazards, and the original as it was found: what is signed."""
    hazards = sorted(part.hazards)
    return [_proposed(treatment), hazards, _plain(part.as_found), part.survives]


def _proposed(treatment: Treatment) -> object:
    """A treatment as it was put to those who signed it."""
    left_out = {"done"} if treatment.after else {"done", "after"}
    names = sorted({*fields_of(Treatment)} - left_out)
    return [[name, _plain(getattr(treatment, name))] for name in names]


def _letter_falls(library: Library, letter: str | None) -> str:
    """Why the letter behind a signature is none; "" where it is one, or none is named."""
    if letter is None:
        return ""
    if library.get(letter) is None:
        return f"the letter {letter} isn't there"
    if fallen := discredited(library, letter):
        return f"its letter is not what it says, for {fallen} is discredited"
    if fallen := taken_back(library, letter):
        return f"its letter was taken back, with {fallen}"
    return ""


def _plain(value: object) -> object:
    """A group of fields as JSON values, without its marks."""
    if isinstance(value, Node):
        return [[name, _plain(getattr(value, name))] for name in sorted(fields_of(type(value)))]
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    return value if value is None or isinstance(value, bool) else str(value)


def _standing(
    library: Library,
    claims: Mapping[str, Graded],
    decision: Decision,
    newer: str,
    behind: tuple[str, ...],
    as_of: Day | None,
    rules: Practice,
) -> Standing:
    today = code(
        [
            RULE_SET,
            decision.choice,
            decision.configuration,
            [
                [ref, claims[ref].state, claims[ref].grade, claims[ref].not_settled]
                for ref in behind
            ],
            *treatments_behind(library, decision),
            *rules.clearing(),
        ]
    )
    reasons: list[Reason] = []
    signed: list[str] = []
    moved = False
    to_come = [
        as_of is not None and one.on is not None and one.on > as_of for one in decision.approvals
    ]
    newest = {
        one.by: one for one, later in zip(decision.approvals, to_come, strict=True) if not later
    }
    for approval, later in zip(decision.approvals, to_come, strict=True):
        letter = (approval.letter,) if approval.letter else ()
        day = show_bounds(approval.on, approval.on)
        name = f"{approval.by}, {approval.role}"
        if later:
            reasons.append(Reason("D4", f"{name}: {day} is still to come.", letter))
        elif newest[approval.by] is not approval:
            says = f"{name}, signed on {day}, and has signed again since."
            reasons.append(Reason("D2", says, letter))
        elif library.person(approval.by) is None or approval.lost:
            reasons.append(Reason("D4", f"{name}: nobody of that name is known.", letter))
        elif wrong := _letter_falls(library, approval.letter):
            reasons.append(Reason("D4", f"{name}: {wrong}.", letter))
        elif not approval.state:
            says = f"{name}, signed on {day}, but no evidence state is named (now {today})."
            reasons.append(Reason("D4", says, letter))
        elif approval.state != today:
            moved = True
            says = f"{name} signed evidence {approval.state} on {day}; it stands at {today} now."
            reasons.append(Reason("D3", says, letter))
        else:
            signed.append(approval.by or "")
            reasons.append(Reason("D2", f"{name}, signed on {day}.", letter))
    if not signed and not moved:
        reasons.insert(0, Reason("D2", "No signature under it counts."))
    state = REOPENED if moved else STANDS if signed else UNSIGNED
    if newer:
        state = SUPERSEDED
        reasons.append(Reason("D1", f"“{library.title(newer)}” took its place.", (newer,)))
    found = Finding(state, tuple(reasons))
    return Standing(decision.ref, state, newer, today, found, tuple(signed))
