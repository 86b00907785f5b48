"""A finding is a verdict and the numbered reasons for it, each with the records it rests on."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Reason:
    """One step of an argument.

    `rule` names the rule that was applied ("G3"), `says` is a sentence, `rests_on` are the REFs
    (`photos/slipway-1932#port-chine`) of the records that it leans on. `aside` marks what stops or
    carries nothing by itself, and only bears on the reasons beside it, such as a policy.
    """

    rule: str
    says: str
    rests_on: tuple[str, ...] = ()
    aside: bool = False

    def as_json(self) -> dict[str, object]:
        """The reason as plain values, for `--json`."""
        return {"rule": self.rule, "says": self.says, "rests_on": list(self.rests_on)}


@dataclass(frozen=True, slots=True)
class Finding:
    """What the program concludes about one question, and why. Every judgement has this shape."""

    verdict: str
    reasons: tuple[Reason, ...] = field(default=())

    @property
    def rests_on(self) -> tuple[str, ...]:
        """Every record that any reason leans on, once each, in the order of first mention."""
        return tuple(dict.fromkeys(ref for reason in self.reasons for ref in reason.rests_on))

    def as_json(self) -> dict[str, object]:
        """The finding as plain values, for `--json`."""
        return {"verdict": self.verdict, "reasons": [reason.as_json() for reason in self.reasons]}
