"""Issues the demo's cutting cards anew: five on the evidence of today, one on that of February.

    python tests/demo/cards.py

Run it after `pin.py`, for a card leans on signed decisions. Card 0001 was issued for trial stock
on the mechanic's word alone, before the fragment had been cleaned and the letter found; it lay in a
drawer and is recalled. Of card 0002 the first issue came before the picture at the hangar doors had
been measured, and that sheet came back. From card 0003 metal was cut. Card 0006
is for work on an original: the one treatment that is cleared for the fin frame, and nothing else.
"""

from __future__ import annotations

import re
import shutil
import sys
import tempfile
from collections.abc import Callable
from datetime import date
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from archive.core.cache import cache_dir
from archive.pipeline import weigh
from archive.reasoning.cards import drawn_from
from archive.records.card import Card
from archive.write.cards import issue_again, issue_card

CONTENT = Path(__file__).parents[2] / "content"
CACHE = cache_dir(CONTENT)
"""What was learnt of the pictures serves every copy of the archive."""


def without_claim(text: str, claim: str) -> str:
    """A part's text without one of its claims."""
    return re.sub(rf"  - id: {claim}\n(?:    .*\n)+", "", text).replace(f"    rival_of: {claim}\n", "")


def february(folder: Path) -> None:
    """The chine as it was known before the fragment was cleaned and the letter found."""
    path = folder / "parts" / "chine-port.md"
    path.write_text(without_claim(path.read_text("utf-8"), "rivet-pitch"), "utf-8")


def july(folder: Path) -> None:
    """The strut before the picture at the hangar doors had been measured."""
    path = folder / "parts" / "strut-front-port.md"
    text = path.read_text("utf-8")
    item = re.compile(r"      - photo: hangar-doors#strut-front\n(?:        .*\n)+")
    path.write_text(item.sub("", text), "utf-8")


def today(folder: Path) -> None:
    """The archive as it is."""


def drawn(part: str, step: str, change: Callable[[Path], None], treatments: tuple[str, ...] = ()):
    """What a card leans on once `change` was made to a copy of the archive."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "content"
        shutil.copytree(CONTENT, folder, ignore=shutil.ignore_patterns("cards"))
        change(folder)
        found = weigh(folder, CACHE)
        return drawn_from(found.library, found.findings, found.library.parts[part], step, treatments)


def main() -> None:
    """All cards, in the order of their numbers."""
    shutil.rmtree(CONTENT / "cards", ignore_errors=True)
    made: dict[str, Card] = {}
    for part, step, change, day, who in (
        ("chine-port", "trial", february, date(2026, 2, 2), "LM"),
        ("strut-front-port", "trial", july, date(2026, 7, 6), "JM"),
        ("chine-port", "cut", today, date(2026, 10, 7), "LM"),
        ("camera-hatch", "cut", today, date(2026, 10, 20), "JM"),
        ("rudder-post-works", "cut", today, date(2026, 11, 12), "JM"),
    ):
        leans_on = drawn(part, step, change)
        card = issue_card(CONTENT, f"parts/{part}", leans_on, day, who)
        made[card.id] = card
    leans_on = drawn("strut-front-port", "trial", today)
    issue_again(CONTENT, made["0002"], leans_on, date(2026, 7, 20), "JM")
    leans_on = drawn("fin-frame", "original", today, ("straighten-cold",))
    issue_card(CONTENT, "parts/fin-frame", leans_on, date(2026, 11, 16), "LM")
    path = CONTENT / "cards" / "0003.yaml"
    note = 'cut:\n  - {by: LM, on: 2026-11-03, issue: 1, made: "1.4 m, pitch 22.2 mm over 63 places"}\n'
    path.write_text(path.read_text("utf-8") + note, "utf-8")
    path = CONTENT / "cards" / "0002.yaml"
    note = "returned:\n  - {issue: 1, by: JM, on: 2026-07-20}\n"
    path.write_text(path.read_text("utf-8") + note, "utf-8")


if __name__ == "__main__":
    main()
