"""What the last build made from what, so that the next one makes only what changed.

One JSON file in the user's cache folder for each output folder: for every page a key (a sum over
its view, its template and the program) and the size and time of the file as it lay in the site.
A page whose key is the same and whose file was not touched since is kept. Memory that is missing,
odd, of another format, or about another site means that every page is made; the bytes of the
site are the same either way.
"""

from __future__ import annotations

import hashlib
import json
import os
import stat
from collections.abc import Mapping
from pathlib import Path

from archive.core.atomic import write_file
from archive.publish.inputs import Fingerprint
from archive.publish.manifest import MANIFEST, walk
from archive.publish.stage import Made

FORMAT = 1
_NOTE = (
    "Written by witnessmark for its own use: which page was made from what. It may be deleted;"
    " the next build then makes every page anew."
)


class PageMemory:
    """The memory of the builds of one content folder into the output folder `out`.

    `folder` is `core.cache.cache_dir(content)`, or None to remember nothing.
    """

    def __init__(self, folder: Path | None, out: Path) -> None:
        self._out = os.path.realpath(out)
        name = f"pages-{hashlib.sha256(os.fsencode(self._out)).hexdigest()[:16]}.json"
        self._path = folder / name if folder else None
        self._inputs, self._pages = _load(self._path)
        # The list is what `Stage.keep` takes sums from: if it was touched, nothing is kept.
        if not self._same(MANIFEST):
            self._inputs, self._pages = "", {}

    def fresh(self, path: str, key: str) -> bool:
        """Whether the site still holds `path` as the last build made it, from the same `key`."""
        page = self._pages.get(path)
        return page is not None and page[0] == key != "" and self._same(path)

    def nothing_changed(self, inputs: Fingerprint) -> bool:
        """Whether the site stands untouched, file by file, and `inputs` are those it was made from.

        Then there is nothing to build.
        """
        if not inputs.settled or inputs.digest != self._inputs:
            return False
        seen = 0
        for path, entry in walk(Path(self._out)):
            page = self._pages.get(path)
            if page is None or page[1:] != _stamp(entry.stat(follow_symlinks=False)):
                return False
            seen += 1
        return seen == len(self._pages)

    def save(self, made: Made, keys: Mapping[str, str], inputs: Fingerprint) -> None:
        """Remember a site that is in its place; `keys` by path, for the pages that have one.

        Call it before the stage's block ends. Raises `CannotWrite`; the site stands all the same.
        """
        if self._path is None:
            return
        self._inputs = inputs.digest if inputs.settled else ""
        self._pages = {
            file.path: (keys.get(file.path, ""), file.size, file.mtime_ns) for file in made.files
        }
        data = {"note": _NOTE, "format": FORMAT, "inputs": self._inputs, "pages": self._pages}
        write_file(self._path, json.dumps(data, ensure_ascii=False), private=True)

    def _same(self, path: str) -> bool:
        page = self._pages.get(path)
        if page is None:
            return False
        try:
            facts = os.lstat(f"{self._out}/{path}")
        except OSError:
            return False
        return page[1:] == _stamp(facts)


def _stamp(facts: os.stat_result) -> tuple[int, int]:
    # What is not a plain file can't be as it was made.
    return (facts.st_size, facts.st_mtime_ns) if stat.S_ISREG(facts.st_mode) else (-1, -1)


def _load(path: Path | None) -> tuple[str, dict[str, tuple[str, int, int]]]:
    if path is None:
        return "", {}
    try:
        data = json.loads(path.read_bytes())
        if data["format"] != FORMAT:
            return "", {}
        pages = {
            page: (str(key), int(size), int(mtime_ns))
            for page, (key, size, mtime_ns) in data["pages"].items()
        }
        return str(data["inputs"]), pages
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return "", {}
