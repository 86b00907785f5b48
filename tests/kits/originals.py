"""An original that clears for work as text: the cowl, its treatment, and who signed for it."""

from __future__ import annotations

from small_records import BASE, part, photo, source

PEOPLE = BASE.replace("name: Oda Wiik}", "name: Oda Wiik, role: owner}")
assert PEOPLE != BASE

COWL = """
== parts/cowl.md ==
---
title: Port cowl
zone: zones/700
survives: whole
hazards: [lead-paint]
mates: [chine]
as_found:
  by: LM
  on: 2026-06-02
  photos: [asfound]
  position: bay 2
  condition: dented
treatments:
  - id: let-in
    options: [keep it, let in a patch]
    choice: let in a patch
    operations: [trim, drill, refit]
    removes: {what: corroded sheet, kept_at: shelf 12}
    reversible: no
    adds: [chine]
    hazards: [{hazard: lead-paint, says: wet work only, by: LM, on: 2026-06-20}]
    proposed: {by: LM, on: 2026-07-01}
---
"""
REUSE = """
== decisions/reuse.md ==
---
title: The cowl goes back in
question: Does it?
about: [parts/cowl, parts/cowl#let-in]
choice: refit-repaired
because: It is whole.
approvals:
  - {by: OW, role: owner, on: 2026-07-20, letter: owner-letter, state: PINNED}
  - {by: HB, role: lead, on: 2026-07-18, state: PINNED}
---
"""
ASFOUND = photo("asfound").replace("kind: period", "kind: as-found") + source("owner-letter")
WHOLE = PEOPLE + ASFOUND + COWL + REUSE + part("", id_="chine").replace("claims:\n", "")
