"""Whether what an item of evidence shows hangs on a day about which the records clash.

Such an item lends what it lends, but the claim is not settled until somebody mends the clash.
"""

from __future__ import annotations

from archive.core.findings import Reason
from archive.core.verdicts import GRADES
from archive.reasoning.canon import code
from archive.reasoning.ground import Ground
from archive.records.claim import Claim, Evidence
from archive.records.part import Part


def disputes(
    ground: Ground, part: Part, claim: Claim, item: Evidence, cap: str
) -> tuple[Reason, ...]:
    """The clashes of dates that an item hangs on, () for none; `cap` is what it lends.

    It hangs on the day of its photograph, of every print of one negative with it, and of the other
    photographs that its figure was measured on: where the claim is of a state, or the part was not
    on the aircraft all her life. An item that speaks for the claim and lends nothing hangs on none;
    one that speaks against it does, for the clash may be why it lends nothing.
    """
    clashing = ground.times.disputed
    dated = claim.configuration is not None or part.fitted is not None
    if not item.photo or not dated or not (cap in GRADES or item.against):
        return ()
    photo = ground.library.photos.get(_id(item.photo))
    if photo is None or photo.shows_what != "period":
        return ()
    measured = ground.library.measurements.get(_id(item.measured or ""))
    seen = [photo.ref, *(measured.photos if measured else ())]
    names: dict[str, None] = {}
    for ref in seen:
        whole = ref.partition("#")[0]
        group = ground.groups.get(ground.group_of.get(whole, ""))
        names.update(dict.fromkeys((whole, *(group.members if group else ()))))
    return tuple(dict.fromkeys(reason for name in names for reason in clashing.get(name, ())))


def disputed_by(found: tuple[Reason, ...]) -> str:
    """A short code of the clashes that an item hangs on, by the records in them; "" for none."""
    return code([sorted(reason.rests_on) for reason in found]) if found else ""


def _id(ref: str) -> str:
    return ref.partition("#")[0].partition("/")[2]
