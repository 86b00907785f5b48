"""The ordered words of the findings: the six grades, and the steps that are asked for."""

from __future__ import annotations

GRADES = ("on the airframe", "matched", "corroborated", "seen", "said", "conjecture")
"""The six grades, best first: a claim's verdict is one of these."""

STEPS = ("look", "mock-up", "trial", "cut", "original")
"""The steps that clearance is asked for, in the order of what a mistake costs."""
