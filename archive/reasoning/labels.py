"""Labels that say more than their grade: the words of a part's label and of stories, weighed."""

from __future__ import annotations

import re
from collections.abc import Iterator

from archive.core.label_words import overclaims
from archive.core.problems import Problem, Where
from archive.core.verdicts import GRADES, Findings
from archive.records.library import Library
from archive.records.part import Part
from archive.records.schema import canonical_ref
from archive.records.spec import Record
from archive.records.story import Story

_SENTENCE = re.compile(r"[^.!?]+(?:[.!?]+|$)")
_LINK = re.compile(r"\]\(([^)\s]+)\)")
HINT = "Say no more than the grade, or find better evidence. The manual lists the words."


def label_problems(library: Library, findings: Findings) -> Iterator[Problem]:
    """Every label and every sentence of a story that goes beyond the grade of what it tells of.

    A part's label is held to the grade of the claim that its page leads with; what isn't settled
    counts as said. A sentence of a story is held to that of each part or claim that it links to.
    """
    home = (library.aircraft.language if library.aircraft else None) or "en-GB"
    for part in library.parts.values():
        grade = grade_of_part(findings, part.ref)
        for text, language, where in _labels(part, home):
            for says in overclaims(text, grade, language):
                yield Problem(where, "label-overclaims", f"The label goes too far: {says}", HINT)
    for story in library.stories.values():
        for text, language, where in _prose(story, home):
            for sentence in _SENTENCE.findall(text):
                for grade in _grades_in(findings, sentence):
                    for says in overclaims(sentence, grade, language, whole=False):
                        told = f"The story goes too far: {says}"
                        yield Problem(where, "label-overclaims", told, HINT)


def grade_of_part(findings: Findings, ref: str) -> str:
    """The grade that a part's label is held to."""
    known = findings.parts.get(ref)
    return _grade(findings, known.lead if known else "")


def _grade(findings: Findings, claim: str) -> str:
    graded = findings.claims.get(claim)
    if graded is None:
        return GRADES[-1]
    return max(graded.grade, "said", key=GRADES.index) if graded.not_settled else graded.grade


def _labels(part: Part, home: str) -> Iterator[tuple[str, str, Where]]:
    if part.label:
        yield part.label, home, Where(part.path, *part.mark_of("label"))
    for language, one in part.translations.items():
        yield one.texts.get("label", ""), language, Where(one.path)


def _prose(story: Story, home: str) -> Iterator[tuple[str, str, Where]]:
    yield story.prose, home, _at(story)
    for language, one in story.translations.items():
        yield one.prose, language, Where(one.path)


def _at(record: Record) -> Where:
    return Where(record.path, record.prose_line)


def _grades_in(findings: Findings, sentence: str) -> Iterator[str]:
    for target in _LINK.findall(sentence):
        ref = canonical_ref(target.removeprefix("../").replace(".md", "").replace(".html", ""))
        if ref is None or not ref.startswith("parts/"):
            continue
        yield _grade(findings, ref) if "#" in ref else grade_of_part(findings, ref)
