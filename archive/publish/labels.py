"""The museum's labels as one tagged PDF: each beside its word count and what its grade allows."""

from __future__ import annotations

from dataclasses import asdict

from archive.audience.view import View
from archive.exchange.typeset import typeset
from archive.publish.refusal import Refused
from archive.site.pages import site_of
from archive.site.visitors.edition import Edition
from archive.site.visitors.labels import LabelShown, LabelsShown
from archive.site.visitors.labels import pages as label_pages
from archive.site.visitors.pages import editions


def set_labels(view: View, language: str = "") -> tuple[bytes, int]:
    """The PDF of the labels in a language of the edition ("" for the records' own), and how many.

    `view` is the public's. Raises `Refused` for a language that the edition isn't in, and where no
    part that may be shown has a label.
    """
    found = {one.here.language: one for one in editions(view, {}, site_of(view))}
    edition = found.get(language) if language else next(iter(found.values()))
    if edition is None:
        hint = f"There is {', '.join(found)}; another is added with `languages:` in aircraft.yaml."
        raise Refused("no-such-language", f"The labels aren't kept in “{language}”.", hint)
    shown = [page.data for page in label_pages(edition)]
    labels = [one for data in shown if isinstance(data, LabelsShown) for one in data.labels]
    if not labels:
        hint = "Write `label:` into the note of a part, and see how its grade lets it be worded."
        raise Refused("no-labels", "No part that may be shown has a label.", hint)
    pictures = {f"{number}.svg": _svg(one) for number, one in enumerate(labels) if one.code}
    return typeset("labels", _values(edition, labels), pictures), len(labels)


def _values(edition: Edition, labels: list[LabelShown]) -> dict[str, object]:
    """What the template is given."""
    site = edition.site
    return {
        "title": f"{edition.t('labels.title')}: {site.name} {site.mark}".strip(),
        "language": edition.here.language,
        "note": edition.t("labels.note"),
        "allows": edition.t("labels.allows"),
        "says_code": edition.t("labels.code"),
        "labels": [
            {**asdict(one), "code": f"{number}.svg" if one.code else ""}
            for number, one in enumerate(labels)
        ],
    }


def _svg(one: LabelShown) -> bytes:
    side = one.modules
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {side} {side}">'
        f'<rect width="{side}" height="{side}" fill="#fff"/><path d="{one.code}"/></svg>'
    ).encode()
