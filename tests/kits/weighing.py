"""A fixture: small content folders, written as text and weighed."""

from __future__ import annotations

from datetime import date

import pytest
from small_records import BASE

from archive.read.load import load
from archive.reasoning.weigh import weigh
from archive.records.checks import check

AS_OF = date(2028, 1, 1)
"""The day that the small folders are asked about."""


@pytest.fixture
def weighed(content):
    """`weighed(text)` → (findings, problems, library) of BASE and the files in the text."""

    def make(text: str, bare: bool = False):
        folder = content(text if bare else BASE + text)
        for note in folder.glob("photos/*.md"):
            note.with_suffix(".jpg").touch()
        loaded = load(folder, None)
        problems = [*loaded.problems, *check(loaded.library)]
        return weigh(loaded.library, AS_OF), [p for p in problems if not p.advice], loaded.library

    return make
