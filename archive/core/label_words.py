"""Words of labels: which a grade must have, and which it may not, language by language.

A label says no more than its grade allows. The lists are ours and short on purpose: they catch a
slip, they write no label. What is right for a better grade is right to leave out for a worse one.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from archive.core.verdicts import GRADES


@dataclass(frozen=True, slots=True)
class LabelWords:
    """One language's words; each is the beginning of a word, or of a few.

    `sure` need the airframe itself, `several` two witnesses or better, `pictured` a photograph or
    better. Of `told` one must stand in a label of what is only said, of `guessed` one in a
    conjecture's. A word behind one of `no`, a few words before it, claims nothing.
    """

    sure: tuple[str, ...]
    several: tuple[str, ...]
    pictured: tuple[str, ...]
    told: tuple[str, ...]
    guessed: tuple[str, ...]
    no: tuple[str, ...]


WORDS: Mapping[str, LabelWords] = MappingProxyType(
    {
        "en": LabelWords(
            sure=(
                *("certainly", "definitely", "undoubtedly", "without doubt", "exact", "precise"),
                *("genuine", "authentic", "proven", "proved", "verified", "we know that"),
            ),
            several=("photographs", "several", "all agree"),
            pictured=("photograph", "picture", "measured", "matches", "is seen", "can be seen"),
            told=(
                *("said", "told", "reported", "recall", "remember", "according to", "wrote"),
                *("letter", "perhaps", "may have", "might", "guess", "conjecture"),
            ),
            guessed=(
                *("guess", "conjecture", "perhaps", "may have", "might", "we think", "unknown"),
                *("not known", "nobody knows", "do not know"),
            ),
            no=("no", "not", "never", "nobody", "none", "without"),
        ),
        "de": LabelWords(
            sure=(
                *("sicher", "zweifellos", "genau", "exakt", "präzise", "echt", "authentisch"),
                *("bewiesen", "belegt", "wir wissen, dass"),
            ),
            several=("fotografien", "fotos", "mehrere", "alle stimmen"),
            pictured=("fotografie", "foto", "bild", "gemessen", "passt zu", "zu sehen"),
            told=(
                *("soll", "gesagt", "erzähl", "bericht", "erinner", "laut", "schrieb"),
                *("brief", "vielleicht", "vermut", "geraten"),
            ),
            guessed=(
                *("vermut", "geraten", "vielleicht", "unbekannt", "wissen nicht"),
                *("niemand weiß",),
            ),
            no=("kein", "nicht", "nie", "niemand", "ohne"),
        ),
    }
)
"""Language → its words."""


def overclaims(text: str, grade: str, language: str, whole: bool = True) -> Iterator[str]:
    """What in a label's text goes beyond `grade` (one of GRADES), a sentence each.

    `whole` says that the text is all that is said of the thing, so that it must hold the words
    that a weak grade asks for. A language without a list is passed over.

    >>> list(overclaims("It was exactly two feet long.", "seen", "en-GB"))
    ['“exactly” needs the airframe itself; the grade is seen.']
    """
    words = WORDS.get(language.partition("-")[0].lower())
    if words is None or not text.strip():
        return
    rank = GRADES.index(grade)
    for least, begins, needs in (
        ("on the airframe", words.sure, "the airframe itself"),
        ("corroborated", words.several, "two witnesses or better"),
        ("seen", words.pictured, "a photograph or better"),
    ):
        if rank > GRADES.index(least):
            for word in _found(text, begins, words.no):
                yield f"“{word}” needs {needs}; the grade is {grade}."
    if whole:
        asked = {"said": words.told, "conjecture": words.guessed}.get(grade, ())
        if asked and not _found(text, asked):
            yield f"Nothing in it says that this is {_CALLED[grade]}."


_CALLED = {"said": "only said", "conjecture": "a guess"}


def _found(text: str, begins: tuple[str, ...], no: tuple[str, ...] = ()) -> list[str]:
    """The words of a text that begin so, once each; without those that something denies."""
    pattern = rf"\b(?:{'|'.join(map(re.escape, begins))})\w*"
    denied = re.compile(rf"\b(?:{'|'.join(no)})\w*(?:\W+\w+){{0,3}}\W+$", re.IGNORECASE)
    return list(
        dict.fromkeys(
            m[0]
            for m in re.finditer(pattern, text, re.IGNORECASE)
            if not (no and denied.search(text, 0, m.start()))
        )
    )
