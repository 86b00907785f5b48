"""A cutting card on paper: the card's page, set as PDF with its photographs."""

from __future__ import annotations

import dataclasses
import tempfile
from datetime import date
from pathlib import Path

from archive.audience.crew import crew_view
from archive.cli.exits import NOT_CLEARED, private_cache, stop
from archive.core.images import PictureSet
from archive.exchange.typeset import typeset
from archive.pictures.make import make_pictures
from archive.pictures.orders import PictureOrder
from archive.pipeline import Weighed
from archive.site.card import CardShown, shown
from archive.site.context import Context
from archive.site.pages import site_of


def set_card(weighed: Weighed, ref: str, as_of: date, paper: str) -> bytes:
    """The PDF of a card (its REF) as it was printed last, on `paper` ("a5" or "a4").

    It is the crew's: a card of a sealed part ends with exit code 5, for nobody could check it on
    the crew's site.
    """
    view = crew_view(weighed.library, weighed.findings, weighed.problems, weighed.images, as_of)
    card = view.library.cards.get(ref.partition("/")[2])
    if card is None:
        stop(NOT_CLEARED, f"{ref} is of a part that is kept from the crew's site.")
    with tempfile.TemporaryDirectory(prefix="witnessmark-") as folder:
        place = Path(folder)
        context = Context(view, {}, site_of(view))
        sets = _pictures(weighed, shown(context, card), place)
        filled = shown(dataclasses.replace(context, pictures=sets, _hrefs={}), card)
        pictures = {
            f"{number}.jpg": (place / thumb.src).read_bytes()
            for number, thumb in enumerate(filled.thumbs)
            if thumb.src
        }
    data = plain(filled, " ".join(filter(None, (context.site.mark, context.site.name))), paper)
    data["language"] = context.site.language
    pictures["square.svg"] = _svg(filled.square, filled.square_side)
    return typeset("card", data, pictures)


def plain(card: CardShown, craft: str, paper: str) -> dict[str, object]:
    """What the template is given: the page's values, and the names of the pictures."""
    data: dict[str, object] = dataclasses.asdict(card)
    data.pop("line")
    data["title"] = f"Cutting card {card.printed}"
    data["craft"] = craft
    data["paper"] = paper
    data["recall"] = card.line.recall
    data["state"] = card.line.state
    data["thumbs"] = [
        {"src": f"{number}.jpg", "title": thumb.title, "alt": thumb.alt or thumb.title}
        for number, thumb in enumerate(card.thumbs)
        if thumb.src
    ]
    return data


def _svg(path: str, side: int) -> bytes:
    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {side} {side}">'
    return (
        f'{head}<rect width="{side}" height="{side}" fill="#fff"/><path d="{path}"/></svg>'.encode()
    )


def _pictures(weighed: Weighed, card: CardShown, out: Path) -> dict[str, PictureSet]:
    """The small pictures of the card's photographs, made from pixels alone."""
    ids = [thumb.href.rpartition("/")[2].partition(".html")[0] for thumb in card.thumbs]
    orders = [
        PictureOrder(weighed.pictures[id_], weighed.images[id_], id_, (640,), tiles=False)
        for id_ in ids
        if id_ in weighed.pictures
    ]
    cache = private_cache(weighed.folder)
    keep = cache / "pictures" if cache else out / "kept"
    return make_pictures(orders, out, keep)[0]
