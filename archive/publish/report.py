"""The restoration report as bytes: the view's values and pictures, set as one tagged PDF."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from archive.audience.view import View
from archive.exchange.typeset import typeset
from archive.pictures.make import make_pictures
from archive.publish.ordering import picture_order
from archive.site.report.document import report

PICTURE_PX = 960
"""The width of a picture in the report: half a sheet of A4 at 270 dots an inch."""


def set_report(
    view: View, pictures: Mapping[str, Path], files: Mapping[str, str], cache: Path | None
) -> bytes:
    """The PDF. `pictures` are the picture files by photograph id, `files` the sha256 of each file
    of the record by its path, `cache` the program's private folder or None."""
    orders = [
        replace(picture_order(view, id_, pictures[id_], facts), widths=(PICTURE_PX,), tiles=False)
        for id_, facts in view.images.items()
        if id_ in pictures
    ]
    with tempfile.TemporaryDirectory(prefix="witnessmark-") as folder:
        made = Path(folder)
        keep = cache / "pictures" if cache else made / "kept"
        sets, _ = make_pictures(orders, made, keep)
        small = {f"{id_}.jpg": (made / one.sizes[0].path).read_bytes() for id_, one in sets.items()}
    return typeset("report", report(view, sets, files), small)
