"""A story: a page for visitors."""

from __future__ import annotations

from dataclasses import dataclass

from archive.records.common import Titled
from archive.records.spec import ref, text


@dataclass(frozen=True, kw_only=True)
class Story(Titled):
    """A page of the history, told for visitors."""

    kind = "stories"
    singular = "story"
    what = "a story"

    summary: str | None = text("A sentence to begin with.")
    plain: str | None = text("The story in plain words, for younger or hurried readers.")
    about: tuple[str, ...] = ref((), "What it tells of.", many=True, one_or_many=True)
    picture: str | None = ref(("photos",), "The picture at its head.")
