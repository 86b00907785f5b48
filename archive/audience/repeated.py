"""Words of a withheld record that the team repeated in what the public reads."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from archive.core.problems import Problem, Where
from archive.records.library import Library, nodes_in
from archive.records.spec import Node, Record, fields_of

RUN = 8
"""So many words in a row that stand in both are no accident."""

HINT = "Take the words out, or clear the rights for the web; `why REF --use web` says what lacks."


def repeated(library: Library, shown: Library) -> Iterator[Problem]:
    """Texts in `shown`, the public's library, that repeat a withheld record of `library`."""
    public = {record.ref: record for record in shown.records}
    hidden: dict[tuple[str, ...], str] = {}
    for record in library.records:
        if record.ref not in public and record.kind in ("sources", "photos"):
            for text in _texts(record):
                for run in _runs(text):
                    hidden.setdefault(run, record.ref)
    for text, ref in _quotes(library, public):
        for run in _runs(text):
            hidden.setdefault(run, ref)
    if not hidden:
        return
    for record in shown.records:
        whole = next(r for r in library.records if r.ref == record.ref and r.kind == record.kind)
        told = {hidden[run] for text in _texts(record) for run in _runs(text) if run in hidden}
        for ref in sorted(told):
            says = f"Its public words repeat {RUN} or more of {ref}, which is withheld."
            yield Problem(Where(whole.path), "words-withheld", says, HINT)


def _quotes(library: Library, public: Mapping[str, Record]) -> Iterator[tuple[str, str]]:
    """What claims quote of withheld papers; what they say of photographs is in our own words."""
    for _, claim in library.claims():
        for item in claim.evidence:
            ref = (item.source or "").partition("#")[0]
            if item.quote and ref and ref not in public:
                yield item.quote, ref


def _texts(record: Record) -> Iterator[str]:
    yield record.prose
    for one in record.translations.values():
        yield from (one.prose, *one.texts.values())
    for node in nodes_in(record):
        yield from _fields(node)


def _fields(node: Node) -> Iterator[str]:
    for name, spec in fields_of(type(node)).items():
        value = getattr(node, name)
        if spec.type == "text" and value:
            for one in value if spec.many else (value,):
                if isinstance(one, str):
                    yield one


def _runs(text: str) -> Iterator[tuple[str, ...]]:
    words = re.findall(r"\w+", re.sub(r"\]\([^)]*\)", "]", text).casefold())
    for start in range(len(words) - RUN + 1):
        yield tuple(words[start : start + RUN])
