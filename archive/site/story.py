"""A story's page: the history told for visitors."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from archive.site.context import Context
from archive.site.markdown import Prose
from archive.site.page import Link, Page
from archive.site.photo import PictureShown, picture


@dataclass(frozen=True, slots=True)
class StoryShown:
    """All that a story's page says."""

    summary: str
    picture: PictureShown | None
    about: tuple[Link, ...]
    prose: Prose


def pages(context: Context) -> Iterator[Page]:
    """The page of every story."""
    for story in context.library.stories.values():
        frame = context.frame(
            story,
            label="Story",
            here="zones",
            up=Link("General arrangement", context.page("index.html")),
        )
        id_ = (story.picture or "").partition("/")[2].partition("#")[0]
        photo = context.library.photos.get(id_)
        shown = StoryShown(
            story.summary or "",
            picture(context, id_, photo.alt or photo.title or "") if photo else None,
            context.links(story.about),
            context.prose(story.prose),
        )
        yield Page(f"stories/{story.id}.html", "story", frame, shown)
