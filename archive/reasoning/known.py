"""What a measurement knows beforehand: lengths, the tape of a survey, the stretch of a print."""

from __future__ import annotations

from collections import Counter

from archive.core import allowances as allow
from archive.metrology.outcome import Errors, NoEstimate, Outcome
from archive.reasoning.picked import Asked, Picture, Refused, known_length
from archive.records.measurement import KnownLength
from archive.records.survey import Survey, SurveyPoint

Points = dict[str, tuple[Survey, SurveyPoint]]


def surveys_of(points: Points) -> tuple[str, ...]:
    """REFs of the surveys that points come from, once each."""
    return tuple(dict.fromkeys(survey.ref for survey, _ in points.values()))


def taped(outcome: Outcome, points: Points) -> Outcome:
    """The outcome with the error that all lengths of its survey share."""
    if isinstance(outcome, NoEstimate) or not points:
        return outcome
    main = Counter(survey.ref for survey, _ in points.values()).most_common(1)[0][0]
    return outcome.with_errors((f"tape|{main}|", allow.TAPE * outcome.value))


def lengths_of(
    asked: Asked, pictures: tuple[Picture, ...]
) -> list[tuple[KnownLength, float, Errors, str, str]]:
    """Every known length of a measurement: its record, mm, sources of error, REF and label."""
    found = []
    for number, known in enumerate(asked.measurement.references):
        if len(known.between) != 2:
            raise Refused("M1", "A known length lies between two picks.", "Name just two.")
        length, errors, ref = known_length(asked, known, pictures)
        label = errors[0][0] if len(errors) == 1 else f"known|{ref}|{number}"
        found.append((known, length, errors, ref, label))
    return found


def stretch_of(asked: Asked) -> float:
    """The standard deviation of the logarithm of a print\'s uneven stretch."""
    given = asked.measurement.stretch_percent
    return (float(given) if given else allow.STRETCH_PERCENT) / 100
