"""What was asked for: a line of words made into clauses, all to be met, and facets to keep to.

The page's script follows the same steps, in the same order, with the same tables.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace

from archive.search.documents import FACETS
from archive.search.synonyms import SYNONYMS
from archive.search.words import STOP, chains, compact, fold, pieces

Stemmer = Callable[[str], str]

SYNONYM_WEIGHT = 0.5
"""What a synonym counts for beside the word that was typed."""

SHORTEST_PREFIX = 2
LONGEST_TERM = 3
"""Words in the longest synonym that is looked for."""

_ITEM = re.compile(r'(?:(kind|zone|grade):)?(?:"([^"]*)"?|([^ \t\n\r\f\v]+))')


@dataclass(frozen=True, slots=True)
class Way:
    """One way of meeting a clause: `stems` in a row in title or text, or a whole `mark`."""

    stems: tuple[str, ...]
    mark: str = ""
    weight: float = 1.0


@dataclass(frozen=True, slots=True)
class Clause:
    """What a document must have: any of `ways`, or a word that starts with `prefix`.

    `word` is set where a misspelling may be put right: a plain word of letters. `whole` is a chain
    ("k.12/4"): where a record bears it as a mark, the letters and digits alone ("k124") won't do.
    """

    typed: str
    ways: tuple[Way, ...] = ()
    prefix: str = ""
    word: str = ""
    whole: str = ""


@dataclass(frozen=True, slots=True)
class Query:
    """Clauses, all of which must be met, and for each facet named the values that will do."""

    clauses: tuple[Clause, ...] = ()
    kept: tuple[tuple[str, frozenset[str]], ...] = field(default=())


def facet_value(text: str) -> str:
    """A kind, zone or grade as it is compared: its letters and digits ("ontheairframe")."""
    return compact(fold(text))


def parse(line: str, stem: Stemmer, chosen: Iterable[tuple[str, str]] = ()) -> Query:
    """Turn a typed line into a `Query`.

    Words must all be met; "…" asks for words in a row; `rud*` for any ending; `kind:`, `zone:` and
    `grade:` keep to a facet (the same one twice: either will do). `chosen` are facets chosen
    beside the line, which must be met as well.
    """
    kept: dict[str, set[str]] = {}
    units: list[tuple[Clause, tuple[str, ...]]] = []
    for facet, quoted, bare in _ITEM.findall(fold(line)):
        if facet:
            kept.setdefault(facet, set()).add(compact(quoted or bare))
        elif quoted:
            if clause := _phrase(quoted, stem):
                units.append((clause, ()))
        elif bare.endswith("*") and len(start := compact(bare)) >= SHORTEST_PREFIX:
            units.append((Clause(typed=bare, prefix=start), ()))
        else:
            units.extend(_unit(chain, stem) for chain in chains(bare) if chain not in STOP)
    limits = [(facet, frozenset(kept[facet])) for facet in FACETS if facet in kept]
    limits += [(facet, frozenset([facet_value(value)])) for facet, value in chosen if value]
    return Query(tuple(_with_synonyms(units, stem)), tuple(limits))


def _stems(parts: Iterable[str], stem: Stemmer) -> tuple[str, ...]:
    return tuple(stem(part) for part in parts if part not in STOP)


def _phrase(quoted: str, stem: Stemmer) -> Clause | None:
    """Words in a row, as written: no synonyms and no corrections."""
    if len(only := chains(quoted)) == 1 and not only[0].isalnum():
        return replace(_unit(only[0], stem)[0], typed=f'"{quoted}"')
    stems = _stems((part for chain in chains(quoted) for part in pieces(chain)), stem)
    return Clause(f'"{quoted}"', (Way(stems, compact(quoted)),)) if stems else None


def _unit(chain: str, stem: Stemmer) -> tuple[Clause, tuple[str, ...]]:
    """A typed word with its stems: a chain is met whole, run together, or by its words in a row."""
    if chain.isalnum():
        stems: tuple[str, ...] = (stem(chain),)
        word = chain if chain.isalpha() else ""
        return Clause(chain, (Way(stems, chain),), word=word), stems
    bare = compact(chain)
    ways = [Way((), chain), Way((stem(bare),), bare)]
    stems = _stems(pieces(chain), stem)
    if len(stems) > 1:
        ways.append(Way(stems))
    return Clause(chain, _distinct(ways), whole=chain), stems


def synonyms_by_stem(stem: Stemmer) -> dict[tuple[str, ...], list[tuple[str, ...]]]:
    """Each trade term's stems, with the stems of the terms that mean the same."""
    table: dict[tuple[str, ...], list[tuple[str, ...]]] = {}
    for group in SYNONYMS:
        stemmed = [_stems(term.split(" "), stem) for term in group]
        for one in stemmed:
            others = table.setdefault(one, [])
            others.extend(other for other in stemmed if other != one and other not in others)
    return table


def _with_synonyms(
    units: Sequence[tuple[Clause, tuple[str, ...]]], stem: Stemmer
) -> Iterable[Clause]:
    """Lend each word of a run that is a trade term the other terms of the same meaning."""
    table = synonyms_by_stem(stem)
    lent: list[list[Way]] = [[] for _ in units]
    for start in range(len(units)):
        run: tuple[str, ...] = ()
        for end in range(start, len(units)):
            run += units[end][1]
            if not units[end][1] or len(run) > LONGEST_TERM:
                break
            for other in table.get(run, ()):
                for place in range(start, end + 1):
                    lent[place].append(Way(other, weight=SYNONYM_WEIGHT))
    for (clause, _), ways in zip(units, lent, strict=True):
        yield replace(clause, ways=_distinct([*clause.ways, *ways])) if ways else clause


def _distinct(ways: Iterable[Way]) -> tuple[Way, ...]:
    """The ways without repeats; the first of equal stems and mark stays."""
    return tuple({(way.stems, way.mark): way for way in reversed(list(ways))}.values())[::-1]


def slips_allowed(word: str) -> int:
    """How many slips a word may have: none below four letters, one to seven, two from eight."""
    return 0 if len(word) < 4 else 1 if len(word) < 8 else 2
