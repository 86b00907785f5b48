"""The first page, and the stories: each in plain words and at length."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from archive.records.story import Story
from archive.site.markdown import Prose
from archive.site.page import Link, Page
from archive.site.visitors.edition import Edition, Picture, Said
from archive.site.visitors.parts import THEME


@dataclass(frozen=True, slots=True)
class StoryBrief:
    """A story among others."""

    link: Link
    language: str
    summary: Said
    picture: Picture | None


@dataclass(frozen=True, slots=True)
class StartShown:
    """The first page: the aircraft in a sentence, a picture, the stories."""

    name: Said
    mark: str
    summary: Said
    state: Said
    picture: Picture | None
    stories: tuple[StoryBrief, ...]


@dataclass(frozen=True, slots=True)
class StoryShown:
    """A story's page: in plain words, then at length with its parts and pictures."""

    summary: Said
    plain: tuple[str, ...]
    plain_language: str
    picture: Picture | None
    prose: Prose
    language: str
    about: tuple[Link, ...]
    next: Link | None


def pages(edition: Edition) -> Iterator[Page]:
    """The first page, then every story."""
    aircraft = edition.library.aircraft
    stories = tuple(brief(edition, story) for story in edition.library.stories.values())
    state = edition.library.configurations.get(
        ((aircraft.target if aircraft else None) or "").partition("/")[2]
    )
    chosen = ((aircraft.picture if aircraft else None) or "").partition("/")[2]
    first = edition.picture(chosen.partition("#")[0], 960)
    shown = StartShown(
        name=edition.foreign(edition.site.name),
        mark=edition.site.mark,
        summary=edition.text(aircraft, "summary"),
        state=edition.foreign((state.name if state else None) or ""),
        picture=first or next((one.picture for one in stories if one.picture), None),
        stories=stories,
    )
    frame = edition.frame("index.html", edition.site.name, edition.t("start.label"), "start")
    yield Page(edition.path("index.html"), "start", frame, shown, THEME)
    deep = edition.deep()
    ids = list(deep.library.stories)
    for place, id_ in enumerate(ids):
        story = deep.library.stories[id_]
        after = ids[(place + 1) % len(ids)] if len(ids) > 1 else ""
        page = f"stories/{id_}.html"
        frame = deep.frame(page, deep.text(story, "title").text, deep.t("stories.label"), "start")
        yield Page(deep.path(page), "story", frame, _story(deep, story, after), THEME)


def brief(edition: Edition, story: Story) -> StoryBrief:
    """A story as the first page names it."""
    told = edition.text(story, "title")
    id_ = (story.picture or "").partition("/")[2].partition("#")[0]
    return StoryBrief(
        Link(told.text, edition.href(story.ref)),
        told.language,
        edition.text(story, "summary"),
        edition.picture(id_, 960),
    )


def _story(edition: Edition, story: Story, after: str) -> StoryShown:
    told, language = edition.prose(story)
    plain = edition.text(story, "plain")
    id_ = (story.picture or "").partition("/")[2].partition("#")[0]
    return StoryShown(
        summary=edition.text(story, "summary"),
        plain=tuple(filter(None, (" ".join(p.split()) for p in plain.text.split("\n\n")))),
        plain_language=plain.language,
        picture=edition.picture(id_, 960),
        prose=told,
        language=language,
        about=edition.links(ref for ref in story.about if not ref.startswith("people/")),
        next=edition.link(f"stories/{after}") if after else None,
    )
