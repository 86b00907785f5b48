"""How a source is cited: the fields of CSL-JSON, and our own way to say them in one sentence.

The style is that of a scholarly note: maker, title, what it is, where and when it came out, then
who holds it and where it lies there, from the item outwards. British usage: the comma stands
outside the quotation marks. What isn't known is left out; only a letter's missing writer and a
missing date of what is usually dated are said.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from archive.core.dates import show_dating
from archive.records.spec import Node, one_of, spec_field, text

# Types of CSL-JSON 1.0.2 that a team has use for: what each is called where no genre is given.
# "" stands for a type that needs no word of its own.
CSL_TYPES = {
    "article-journal": "",
    "article-magazine": "",
    "article-newspaper": "",
    "book": "",
    "chapter": "",
    "collection": "collection",
    "document": "document",
    "figure": "drawing",
    "graphic": "photograph",
    "interview": "interview",
    "manuscript": "manuscript",
    "map": "map",
    "motion_picture": "film",
    "pamphlet": "brochure",
    "patent": "patent",
    "periodical": "periodical",
    "personal_communication": "letter",
    "report": "report",
    "standard": "standard",
    "webpage": "",
}
_ARTICLES = ("article-journal", "article-magazine", "article-newspaper")
# Works that stand by themselves carry their title bare, with place and publisher in brackets.
_BOOKS = ("book", "chapter", "pamphlet", "periodical", "report", "standard")


@dataclass(frozen=True, kw_only=True)
class Citation(Node):
    """The citation of a source, in the fields of CSL-JSON (written with `-`, as there)."""

    type: str | None = one_of(tuple(CSL_TYPES), "What kind of item it is.", required=True)
    title: str | None = text("Its title; leave out where it has none.")
    author: tuple[str, ...] = text(
        "Who made it: `Family, Given`, or a body's name, in { } where that holds a comma.",
        many=True,
        one_or_many=True,
    )
    recipient: tuple[str, ...] = text("To whom a letter went.", many=True, one_or_many=True)
    interviewer: tuple[str, ...] = text("Who asked.", many=True, one_or_many=True)
    issued: Any = spec_field("date", "When it was made or came out.")
    container_title: str | None = text("The newspaper, magazine or album.", key="container-title")
    publisher: str | None = text("Who brought it out.")
    publisher_place: str | None = text("Where.", key="publisher-place")
    volume: str | None = text("Volume.")
    issue: str | None = text("Issue.")
    page: str | None = text("Page or pages.")
    edition: str | None = text("Edition.")
    genre: str | None = text("A finer word than the type, such as `three-view drawing`.")
    medium: str | None = text("What it is made of, such as `gelatin silver print`.")
    archive: str | None = text("The archive that holds it.")
    archive_place: str | None = text("Where that archive is.", key="archive-place")
    archive_location: str | None = text("Box, folder, negative.", key="archive_location")
    call_number: str | None = text("Shelf mark.", key="call-number")
    dimensions: str | None = text("Its size.")
    url: str | None = text("An address on the web.", key="URL")
    note: str | None = text("Anything else a reader needs.")


def render(citation: Citation) -> str:
    """One citation as a sentence of plain text, nothing in it twice.

    `issued` is a `Dating` or None. An undated letter or article is said to be `undated`.
    """
    kind = citation.type or "document"
    if kind in _ARTICLES:
        pieces = _article(citation)
    elif kind in _BOOKS:
        pieces = _book(citation, kind)
    elif kind == "personal_communication":
        pieces = _letter(citation)
    else:
        pieces = _item(citation, kind)
    held = (
        citation.archive_location,
        citation.call_number,
        citation.archive,
        citation.archive_place,
    )
    sentence = ", ".join(_once([*pieces, *held])) or re.sub(r"[-_]", " ", kind)
    ends = [_quotes(sentence), citation.url or "", _quotes(citation.note or "")]
    return " ".join(_stopped(_capital(end)) for end in ends if end)


def _article(c: Citation) -> list[str | None]:
    """Author, “title”, newspaper or magazine, volume, number, date, page."""
    return [
        _names(c.author),
        _quoted(c.title),
        c.genre,
        c.container_title,
        c.edition,
        f"vol. {c.volume}" if c.volume else None,
        f"no. {c.issue}" if c.issue else None,
        _date(c) or "undated",
        _pages(c.page),
    ]


def _book(c: Citation, kind: str) -> list[str | None]:
    """Author, title, edition, volume, number, (place: publisher, date), page."""
    title = c.title
    if kind == "chapter":
        title = ", ".join(_once([_quoted(c.title), f"in {c.container_title or 'a book'}"]))
    word = c.genre or CSL_TYPES[kind]
    number = f"no. {c.issue}" if c.issue else None
    titled = [title, word] if title else [word]
    volume = f"vol. {c.volume}" if c.volume else None
    imprint = _imprint(c)
    told = _once([_names(c.author), *titled, c.edition, volume, number])
    if imprint:
        told[-1:] = [f"{told[-1]} {imprint}"] if told else [imprint]
    return [*told, _pages(c.page), c.medium, c.dimensions]


def _letter(c: Citation) -> list[str | None]:
    """Writer to recipient, letter, date."""
    writer = _names(c.author) or "unknown writer"
    to = _names(c.recipient)
    word = c.genre or CSL_TYPES["personal_communication"]
    return [
        f"{writer} to {to}" if to else writer,
        _quoted(c.title),
        word,
        _date(c) or "undated",
        _pages(c.page),
        c.medium,
    ]


def _item(c: Citation, kind: str) -> list[str | None]:
    """Maker, “title”, what it is, where it belongs, date, what it is made of."""
    word = c.genre or CSL_TYPES[kind]
    if kind == "interview" and c.interviewer:
        word = f"{word or 'interview'} by {_names(c.interviewer)}"
    return [
        _names(c.author),
        _quoted(c.title),
        word,
        f"no. {c.issue}" if c.issue else None,
        f"in {c.container_title}" if c.container_title else None,
        c.edition,
        f"vol. {c.volume}" if c.volume else None,
        _imprint(c) if c.publisher or c.publisher_place else _date(c),
        _pages(c.page),
        c.medium,
        c.dimensions,
    ]


def _imprint(c: Citation) -> str | None:
    """`(Aske Quay: Lund & Aske, 1932)`, without a publisher who is named as the author already."""
    authors = {_name(author).casefold() for author in c.author}
    publisher = c.publisher if c.publisher and c.publisher.casefold() not in authors else None
    house = ": ".join(part for part in (c.publisher_place, publisher) if part)
    told = ", ".join(part for part in (house, _date(c)) if part)
    return f"({told})" if told else None


def _date(c: Citation) -> str | None:
    """The date in English, or None."""
    return show_dating(c.issued) if c.issued else None


def _names(names: Iterable[str]) -> str | None:
    """`Ada Holm, Lund & Aske and Per Nes`; more than three become the first and others."""
    told = [_name(name) for name in names]
    if len(told) > 3:
        return f"{told[0]} and others"
    return " and ".join(part for part in (", ".join(told[:-1]), *told[-1:]) if part) or None


def _name(name: str) -> str:
    """`Holm, Ada` as `Ada Holm`; `{Lund, Aske & Co.}` and names without a comma as they are."""
    if name.startswith("{") and name.endswith("}"):
        return name[1:-1]
    family, comma, given = name.partition(",")
    return f"{given.strip()} {family.strip()}".strip() if comma else name


def _pages(page: str | None) -> str | None:
    """`p. 4`, or `pp. 4–6` with a dash."""
    if not page:
        return None
    ranged = re.sub(r"(?<=\d)\s*[-–]+\s*(?=\d)", "–", page)
    return f"{'pp.' if re.search('[–,&]', ranged) else 'p.'} {ranged}"


def _quoted(title: str | None) -> str | None:
    """A title in quotation marks, with single ones for those inside it."""
    if not title:
        return None
    inner = _quotes(title).replace("“", "‘").replace("”", "’")
    return f"“{inner.removesuffix('.')}”"


def _quotes(words: str) -> str:
    """The words with quotation marks and apostrophes of a printer's kind."""
    opened = re.sub(r"(?<![\w.,;:!?…’”)\]])\"", "“", words).replace('"', "”")
    return re.sub(r"(?<![\w.,;:!?…’”)\]])'(?=\w[^']*\w?')", "‘", opened).replace("'", "’")


def _once(pieces: Iterable[str | None]) -> list[str]:
    """The pieces that say something, without any that was said before in the same words."""
    told: dict[str, str] = {}
    for piece in pieces:
        if piece and piece.strip():
            told.setdefault(piece.strip().strip("“”").casefold(), piece.strip())
    return list(told.values())


def _capital(sentence: str) -> str:
    """The sentence with a capital first; an address stays as it is."""
    return sentence if "://" in sentence else sentence[:1].upper() + sentence[1:]


def _stopped(sentence: str) -> str:
    """The sentence with one full stop at its end."""
    return sentence if sentence.endswith((".", "?", "!", ".”")) else f"{sentence}."
