"""Rights and credits: what may go where and why not, what ends when, what is owed, whom to name."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from archive.core.cells import table
from archive.core.permissions import PERMITTED, Permission, Rights
from archive.records.source import USES
from archive.site import words
from archive.site.addresses import RIGHTS, RIGHTS_TABLE
from archive.site.context import Context
from archive.site.lists import frame
from archive.site.page import Cell, Link, Page, ReasonShown

COLUMNS = (
    *("record", "number", "title", "holder", "basis", "use", "answer", "until"),
    *("credit", "crop", "draw on", "owed", "why", "term (US, a hint)"),
)


@dataclass(frozen=True, slots=True)
class UseShown:
    """The answer for one use: `yes` or `withheld`, and why."""

    use: str
    answer: str
    permitted: bool
    reasons: tuple[ReasonShown, ...]


@dataclass(frozen=True, slots=True)
class ItemShown:
    """An item with its answers, use by use."""

    link: Link
    uses: tuple[UseShown, ...]
    altering: str
    hint: str


@dataclass(frozen=True, slots=True)
class DayShown:
    """A permission that ends on a day, or something that is owed for one."""

    day: str
    link: Link
    use: str
    says: str


@dataclass(frozen=True, slots=True)
class CreditShown:
    """A wording to print, word for word, and the items that ask for it in these uses."""

    wording: str
    uses: str
    items: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class RightsShown:
    """All that the page says."""

    items: tuple[ItemShown, ...]
    ending: tuple[DayShown, ...]
    owed: tuple[DayShown, ...]
    credits: tuple[CreditShown, ...]
    counts: tuple[tuple[str, str], ...]
    file: str


def pages(context: Context) -> Iterator[Page]:
    """The page of rights and credits; none where the view holds no rights."""
    if not context.view.rights:
        return
    found = list(told(context))
    shown = RightsShown(
        items=tuple(_item(context, one) for one in found),
        ending=tuple(_ending(context, found)),
        owed=tuple(_owed(context, found)),
        credits=tuple(_credits(context, found)),
        counts=tuple(
            (use, f"{sum(_of(one, use).permitted for one in found)} of {len(found)}")
            for use in USES
        ),
        file=context.page(RIGHTS_TABLE),
    )
    framed = frame(context, "Rights and credits", "", len(found))
    on = Cell("On", words.day(context.view.as_of))
    yield Page(RIGHTS, "rights", replace(framed, cells=(*framed.cells, on)), shown)


def told(context: Context) -> Iterator[Rights]:
    """Every source, and those photographs that don't simply go with their source."""
    known = context.view.rights
    for ref, one in known.items():
        photo = context.library.photos.get(ref.partition("/")[2])
        if ref.startswith("sources/") or photo is None:
            yield one
            continue
        behind = known.get(photo.source or "")
        if behind is None or _answers(one) != _answers(behind):
            yield one


def rights_table(context: Context) -> bytes:
    """The same as a table in CSV: a line for each item and use."""
    rows = []
    for one in told(context):
        record = context.library.get(one.ref)
        written = getattr(record, "rights", None)
        for found in one.uses:
            rows.append(
                (
                    one.ref,
                    getattr(record, "number", None) or "",
                    context.library.title(one.ref),
                    (written.holder if written else None) or "",
                    (written.basis if written else None) or "",
                    found.use,
                    found.finding.verdict,
                    found.until.isoformat() if found.until else "",
                    found.credit,
                    "yes" if found.crop else "no",
                    "yes" if found.overprint else "no",
                    "; ".join(owed.says for owed in found.owed if owed.settled is None),
                    " ".join(reason.says for reason in found.finding.reasons),
                    one.hint,
                )
            )
    return table(COLUMNS, rows)


def _answers(rights: Rights) -> tuple[str, ...]:
    return tuple(found.finding.verdict for found in rights.uses)


def _of(rights: Rights, use: str) -> Permission:
    return next(found for found in rights.uses if found.use == use)


def _item(context: Context, rights: Rights) -> ItemShown:
    altering = {
        (True, True): "It may be cropped and drawn on.",
        (True, False): "It may be cropped, not drawn on.",
        (False, True): "It may be drawn on, not cropped.",
        (False, False): "Whole, with nothing laid over it.",
    }
    allowed = [found for found in rights.uses if found.permitted]
    return ItemShown(
        link=context.link(rights.ref),
        uses=tuple(
            UseShown(
                found.use,
                "yes" if found.finding.verdict == PERMITTED else found.finding.verdict,
                found.permitted,
                context.reasons(found.finding, rights.ref),
            )
            for found in rights.uses
        ),
        altering=altering[
            all(found.crop for found in allowed), all(found.overprint for found in allowed)
        ]
        if allowed
        else "",
        hint=rights.hint,
    )


def _ending(context: Context, found: list[Rights]) -> Iterator[DayShown]:
    ending = [
        (use.until, one.ref, use.use)
        for one in found
        for use in one.uses
        if use.permitted and use.until
    ]
    for until, ref, use in sorted(ending):
        yield DayShown(words.day(until), context.link(ref), use, "ends")


def _owed(context: Context, found: list[Rights]) -> Iterator[DayShown]:
    for one in found:
        for use in one.uses:
            for owed in use.owed:
                settled = f"settled {words.day(owed.settled)}" if owed.settled else ""
                yield DayShown(settled, context.link(one.ref), use.use, owed.says)


def _credits(context: Context, found: list[Rights]) -> Iterator[CreditShown]:
    """Each wording once for the uses that ask for it, in the order of the wordings."""
    asked: dict[str, dict[str, list[str]]] = {}
    for one in found:
        for use in one.uses:
            if use.permitted and use.credit:
                asked.setdefault(use.credit, {}).setdefault(one.ref, []).append(use.use)
    for wording, items in sorted(asked.items()):
        by_uses: dict[str, list[str]] = {}
        for ref, uses in items.items():
            by_uses.setdefault(", ".join(uses), []).append(ref)
        for uses_of, refs in by_uses.items():
            yield CreditShown(wording, uses_of, context.links(refs))
