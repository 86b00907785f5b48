"""QR codes, the squares of cards and labels (ISO/IEC 18004): what they hold, their dark modules."""

from __future__ import annotations

import segno

QUIET = 4
"""Light modules that the standard asks for on every side."""


def holds(address: str, path: str, printed: str) -> str:
    """What a card's square holds: the line of this issue on the part's page where the site is
    served at `address`, else the card's number, issue and code alone.
    """
    if not address:
        return printed
    return f"{address.rstrip('/')}/{path}#_{printed}"


def square(text: str) -> tuple[str, int]:
    """The dark modules as an SVG path in units of one module, and the side with its quiet zone.

    Error correction is M, or better where the symbol has room for it.

    >>> path, side = square("https://museum.example/parts/rudder.html")
    >>> path.startswith("M4 4h7v1h-7z"), side
    (True, 37)
    """
    code = segno.make(text, error="m", micro=False)
    rows = []
    for y, row in enumerate(code.matrix):
        x = 0
        while x < len(row):
            run = x
            while run < len(row) and row[run]:
                run += 1
            if run > x:
                rows.append(f"M{x + QUIET} {y + QUIET}h{run - x}v1h-{run - x}z")
            x = max(run, x + 1)
    return "".join(rows), len(code.matrix) + 2 * QUIET
