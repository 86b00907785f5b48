"""Whether a part was on the aircraft in a state: only what the events' own days make certain."""

from __future__ import annotations

import pytest
from small_records import part

from archive.reasoning.chronology import chronology
from archive.reasoning.states import fitted_in


@pytest.mark.parametrize(
    ("fitted", "state", "answer"),
    [
        ("", "survey-1932", "must"),
        ("fitted: {from: first-flight}", "survey-1932", "must"),
        ("fitted: {from: floats-fitted, until: tail-post-mod}", "survey-1932", "must"),
        ("fitted: {from: tail-post-mod}", "survey-1932", "cannot"),
        ("fitted: {until: floats-fitted}", "survey-1932", "cannot"),
        ("fitted: {from: repaint}", "survey-1932", "cannot"),
        ("fitted: {from: patched}", "survey-1932", "may"),
        ("fitted: {until: patched}", "survey-1932", "may"),
        ("fitted: {from: patched}", None, "must"),
    ],
)
def test_fitted(weighed, fitted, state, answer):
    text = part("  - {id: it, aspect: shape, says: It is so}", f"survives: whole\n{fitted}")
    _, problems, library = weighed(text)
    assert problems == []
    configuration = f"configurations/{state}" if state else None
    assert (
        fitted_in(library, chronology(library).tightened, library.parts["chine"], configuration)
        == answer
    )
