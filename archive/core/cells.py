"""Cells of a table that any spreadsheet opens as what they are: text is never a formula.

After the OWASP page "CSV Injection": a cell that begins with = + - @, a tab or a line end is taken
for a formula; so are their full-width forms, and what stands behind spaces or quotation marks.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence

_FORMULA = re.compile(r"""[\s"'\u00a0\ufeff]*[=+\-@\t\r\n\uff1d\uff0b\uff0d\uff20]""")


def safe(text: str) -> str:
    """The text, with an apostrophe before it where a spreadsheet would reckon with it.

    >>> safe("=1+1"), safe("7 1/4 in")
    ("'=1+1", '7 1/4 in')
    """
    return f"'{text}" if _FORMULA.match(text) else text


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    """A CSV file after RFC 4180, in UTF-8 with a mark at its beginning, so that sheets tell."""
    buffer = io.StringIO()
    writer = csv.writer(buffer, lineterminator="\r\n")
    writer.writerow(head)
    writer.writerows([safe(cell) for cell in row] for row in rows)
    return b"\xef\xbb\xbf" + buffer.getvalue().encode("utf-8", "replace")
