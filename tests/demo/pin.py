"""Pins the demo's signatures and rulings to the evidence of today, where they name a state.

    python tests/demo/pin.py

Run it after a change of the rules or of the demo's evidence that is meant to keep them valid. It
changes the `state:` of approvals and the `at_state:` of rulings, and nothing else. Afterwards run
`cards.py`, for the cutting cards lean on what is signed.
"""

from __future__ import annotations

import re
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from archive.core.cache import cache_dir
from archive.pipeline import weigh

CONTENT = Path(__file__).parents[2] / "content"
APPROVAL = re.compile(r"^(  - \{by: \w+, on: [\d-]+, role: [\w-]+)(?:, state: \w+)?", re.M)
RULING = re.compile(r"(at_state: )\w+")


def main() -> None:
    """Rulings first: a signature is pinned to the grades that they leave."""
    for _ in range(2):
        found = weigh(CONTENT, cache_dir(CONTENT))
        for part in found.library.parts.values():
            for claim in part.claims:
                if claim.graded:
                    path = CONTENT / part.path
                    text = path.read_text("utf-8")
                    start = text.index(f"- id: {claim.id}\n")
                    end = text.find("\n  - id: ", start + 1) % (len(text) + 1)
                    state = found.findings.claims[f"{part.ref}#{claim.id}"].state
                    block = RULING.sub(rf"\g<1>{state}", text[start:end])
                    path.write_text(text[:start] + block + text[end:], "utf-8")
    found = weigh(CONTENT, cache_dir(CONTENT))
    for decision in found.library.decisions.values():
        state = found.findings.decisions[decision.ref].evidence_state
        path = CONTENT / decision.path
        path.write_text(APPROVAL.sub(rf"\g<1>, state: {state}", path.read_text("utf-8")), "utf-8")


if __name__ == "__main__":
    main()
