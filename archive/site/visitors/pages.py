"""Every page of the visitors' edition, language by language, and the kiosk's first page."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from archive.audience.view import View
from archive.core.images import PictureSet
from archive.core.theme import theme_dir
from archive.site.page import Page, Site
from archive.site.visitors import labels, lists, parts, photos, real, stories, times
from archive.site.visitors.catalogue import words_in
from archive.site.visitors.edition import Edition, Tongue
from archive.site.visitors.parts import THEME


def visitor_pages(view: View, pictures: Mapping[str, PictureSet], site: Site) -> Iterator[Page]:
    """All pages of the edition. `pictures` are by photograph id; `view` is the public's."""
    for edition in editions(view, pictures, site):
        for module in (stories, parts, real, times, photos, lists, labels):
            yield from module.pages(edition)
        frame = edition.frame("kiosk.html", site.name, edition.t("kiosk.label"), "start")
        yield Page(edition.path("kiosk.html"), "kiosk", frame, None, THEME)


def editions(view: View, pictures: Mapping[str, PictureSet], site: Site) -> Iterator[Edition]:
    """The public's view in each language, the records' own first."""
    tongues = _tongues(view, site)
    for tongue in tongues:
        words = words_in(theme_dir(THEME) / "words", tongue.language)
        yield Edition(view, pictures, site, words, tongues, tongue)


def _tongues(view: View, site: Site) -> tuple[Tongue, ...]:
    """The languages, the records' own first and at the root."""
    aircraft = view.library.aircraft
    others = [one for one in (aircraft.languages if aircraft else ()) if one != site.language]
    folder = theme_dir(THEME) / "words"
    return tuple(
        Tongue(
            language,
            words_in(folder, language)("language"),
            f"{language.lower()}/" if place else "",
        )
        for place, language in enumerate(dict.fromkeys((site.language, *others)))
    )
