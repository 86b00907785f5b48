"""What a search asks for, held against the words that it may name, before it is looked for."""

from __future__ import annotations

from collections.abc import Mapping
from difflib import get_close_matches

from archive.cli.exits import WRONG_USE, stop
from archive.core.verdicts import GRADES
from archive.search.index import Index, stem
from archive.search.query import facet_value, parse
from archive.site.documents import KINDS


def checked(line: str, chosen: Mapping[str, str | None], index: Index) -> None:
    """Ends with exit code 2 where `line` is empty or a filter names what there is none of.

    `chosen` are the filters beside the line: kind, zone and grade, None where not given.
    """
    query = parse(line, stem)
    given = [(facet, facet_value(word), word) for facet, word in chosen.items() if word is not None]
    given += [(facet, value, value) for facet, values in query.kept for value in sorted(values)]
    if not query.clauses and not given:
        stop(WRONG_USE, "There is nothing to look for.", "Name a word, a number or a filter.")
    allowed: dict[str, tuple[str, ...]] = {
        "kind": tuple(dict.fromkeys(KINDS.values())),
        "zone": tuple(sorted({document.zone for document in index.documents} - {""})),
        "grade": GRADES,
    }
    for facet, value, typed in given:
        words = {facet_value(word): word for word in allowed[facet]}
        if value not in words:
            near = get_close_matches(value, words, 1, 0.6)
            hint = f"Perhaps {words[near[0]]} is meant. " if near else ""
            stop(
                WRONG_USE,
                f"There is no {facet} “{typed}” in the search.",
                f"{hint}It can be {', '.join(words.values()) or 'none: nothing has one yet'}.",
            )
