"""Cells of a table that any spreadsheet opens as what they are: text is never a formula.

After the OWASP page "CSV Injection": a cell that begins with = + - @, a tab or a line end is taken
for a formula; so are their full-width forms, and what stands behind spaces or quotation marks. Such
a text gets an apostrophe before it, and so does one that begins with an apostrophe, so that
`restored` gives back every text.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence

Cell = str | int | float | None

_ACTS = re.compile(r"""'|[\s"\u00a0\ufeff]*['=+\-@\t\r\n\uff1d\uff0b\uff0d\uff20]""")


def harmless(text: str) -> str:
    """A text as a cell that no spreadsheet reckons with.

    >>> harmless("=1+1"), harmless("7 1/4 in"), restored(harmless("'tis"))
    ("'=1+1", '7 1/4 in', "'tis")
    """
    return f"'{text}" if _ACTS.match(text) else text


def restored(cell: str) -> str:
    """The text that `harmless` made a cell of."""
    return cell[1:] if cell.startswith("'") else cell


def table(head: Sequence[str], rows: Iterable[Sequence[Cell]]) -> bytes:
    """A CSV file after RFC 4180, in UTF-8 with a mark at its beginning, so that sheets tell.

    A number stands as it is, None as an empty cell.
    """
    buffer = io.StringIO(newline="")
    writer = csv.writer(buffer, lineterminator="\r\n")
    writer.writerow(head)
    writer.writerows(
        [harmless(cell) if isinstance(cell, str) else cell for cell in row] for row in rows
    )
    return b"\xef\xbb\xbf" + buffer.getvalue().encode("utf-8", "replace")
