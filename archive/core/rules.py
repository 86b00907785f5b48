"""The grading rules, numbered: the pages quote them by number, the manual prints this table."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

RULE_SET = 1
"""The number of this rule set: it goes into every evidence state."""

GRADING: Mapping[str, str] = MappingProxyType(
    {
        "G1": "Metal of this airframe, fitted in the claim's configuration, or the mark that the "
        "missing part left on it: on the airframe.",
        "G2": "The opposite hand or a mate that survives on this airframe: matched.",
        "G3": "A sister's or donor's part, or a maker's drawing, with a recorded trial on this "
        "airframe that agrees for the aspect: matched; without one: said.",
        "G4": "A period photograph of this airframe that reads clear or probable: seen.",
        "G5": "Two or more independent period witnesses that agree, at least one of them an image "
        "and one a clear reading: corroborated.",
        "G6": "For material and finish two first-hand dated papers that agree: corroborated.",
        "G7": "A first-hand, dated paper about this airframe: seen. Other words, and every "
        "interview: said.",
        "G8": "A possible reading: said at most.",
        "G9": "A photograph that may, but need not, show the configuration: seen at most, and two "
        "of them do not corroborate. One that cannot show it: no evidence.",
        "G10": "Retouched at the place: no evidence.",
        "G11": "Flipped, and the side not ruled: no evidence.",
        "G12": "A halftone, for a size: no evidence.",
        "G13": "A source that is discredited, or made from one that is: no evidence.",
        "G14": "Finish from monochrome photographs: no evidence, save where two tones change "
        "places between photographs.",
        "G15": "An absence counts only where the thing would have shown.",
        "G16": "A sister, the type or an unknown airframe: said at most.",
        "G17": "Metal that took the place of the part, or was not fitted in the configuration: no "
        "evidence for it; where that can't be told yet: seen at most.",
        "G18": "A circle of claims that lean on each other lends no grade.",
        "G19": "Copies count once, by the best generation among them; one sitting is one witness "
        "for material and finish.",
        "G20": "A size or a position needs a figure with its error: a witness without one is no "
        "evidence for it.",
        "G21": "Evidence against a claim that is as strong as the claim, or a rival on the same "
        "grade: not settled. Words do not beat metal.",
        "G22": "A person may overrule, by name and with a reason, pinned to an evidence state; it "
        "lapses when the evidence moves. Of two the lower holds, and nobody alone lifts a claim "
        "to seen or better.",
        "G23": "Nothing speaks for it: conjecture.",
        "G24": "A photograph of the remains or of a mock-up is no period witness: name the piece.",
    }
)

CLEARING: Mapping[str, str] = MappingProxyType(
    {
        "C1": "Looking, and a mock-up in card, are open at any grade.",
        "C2": "Trial stock asks for existence, shape, size and material, each said or better.",
        "C3": "Cutting for display asks for existence, shape, size and material, each seen or "
        "better, and settled.",
        "C4": "The error of each size must be no wider than the tolerance that the job needs.",
        "C5": "A signed decision must say build; where any claim is only seen, it must say build "
        "provisionally.",
        "C6": "The part must have been on the aircraft in the target configuration.",
        "C7": "Touching an original is asked apart: this version names what is missing and clears "
        "nothing.",
        "C8": "An open question about the part holds the cut until it is settled.",
        "C9": "Lines of the part or of a decision about it that can't be read hold the cut until "
        "the file is mended.",
    }
)
