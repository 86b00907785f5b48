"""What a page is before it is HTML: its path, its template, its frame, and frozen values."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Link:
    """Words that lead somewhere; plain words where `href` is ""."""

    text: str
    href: str = ""


@dataclass(frozen=True, slots=True)
class Cell:
    """One box of the title block."""

    label: str
    text: str
    href: str = ""


@dataclass(frozen=True, slots=True)
class Site:
    """What all pages of one site share."""

    name: str
    mark: str
    language: str
    audience: str
    rights: bool = False
    editions: bool = False


@dataclass(frozen=True, slots=True)
class Frame:
    """What surrounds a page: the ways out, the title block, the neighbours, the foot.

    `root` leads from the page to the site's root. `label` stands above the title, `subtitle`
    below it. `here` is the entry of the strip of ways that this page belongs to.
    """

    site: Site
    root: str
    title: str
    label: str
    subtitle: str = ""
    cells: tuple[Cell, ...] = ()
    here: str = ""
    up: Link | None = None
    previous: Link | None = None
    next: Link | None = None
    scripts: tuple[str, ...] = ()
    ref: str = ""


@dataclass(frozen=True, slots=True)
class Page:
    """A page of the site: where it lies, what it is made with, and all that it says.

    It can be pickled, so that another process may render it.
    """

    path: str
    template: str
    frame: Frame
    data: object
    theme: str = "workshop"


@dataclass(frozen=True, slots=True)
class Grade:
    """A grade as pages show it: its words, its line, and whether it is settled."""

    words: str
    line: str
    settled: bool = True

    @classmethod
    def of(cls, grade: str, not_settled: bool = False) -> Grade | None:
        """From a grade's words; None where there is no grade, so no mark."""
        if not grade:
            return None
        return cls(grade, grade.rpartition(" ")[2], not not_settled)


@dataclass(frozen=True, slots=True)
class Thumb:
    """A small picture that leads to its photograph; `src` is "" where no picture may be shown."""

    href: str
    title: str
    caption: str
    alt: str
    src: str
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class ReasonShown:
    """One numbered reason, the rule it follows, and the records that it rests on."""

    rule: Link | None
    says: str
    rests_on: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class Row:
    """A line of a two-column table: what, and links or words."""

    label: str
    links: tuple[Link, ...]
