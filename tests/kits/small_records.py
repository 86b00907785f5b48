"""Small records as text: an aircraft, and makers of sources, photographs and parts."""

from __future__ import annotations

BASE = """
== aircraft.yaml ==
name: Test biplane
mark: QK-41
units: in
datum: {station_zero: the firewall}
target: survey-1932
events:
  - {id: first-flight, when: 1932-04-09, says: First flight}
  - {id: floats-fitted, when: 1932-06-11, says: Floats fitted}
  - {id: tail-post-mod, when: 1933-05/1933-08, says: Rudder post lengthened}
  - {id: patched, when: 1932/1934, says: Patched}
  - {id: repaint, when: 1935-03, says: Repainted}
configurations:
  - {id: works-1932, name: Works state, after: [first-flight], before: [floats-fitted]}
  - {id: survey-1932, name: Survey state, after: [floats-fitted], before: [tail-post-mod]}
  - {id: survey-1934, name: Lengthened post, after: [tail-post-mod], before: [repaint]}
sisters:
  - {id: qk-43, mark: QK-43}
== zones.yaml ==
zones:
  - {id: "700", name: Floats}
  - {id: "500", name: Port wing}
== people.yaml ==
people:
  - {id: hb, initials: HB, name: Hanne Brekk}
  - {id: lm, initials: LM, name: Leif Moen}
  - {id: ow, initials: OW, name: Oda Wiik}
"""


def source(id_: str, more: str = "") -> str:
    """A source record as text."""
    return f"""
== sources/{id_}.md ==
---
title: Source {id_}
citation: {{type: graphic, title: Print {id_}}}
generation: vintage-print
{more}
---
"""


def letter(id_: str, more: str = "") -> str:
    """A letter about this airframe as text; whose it is and when it was written go into `more`."""
    text = source(id_, f"airframe: this\n{more}")
    return text.replace("type: graphic", "type: personal_communication")


def photo(id_: str, source: str = "", more: str = "", airframe: str = "this") -> str:
    """A period photograph's note as text, ruled to show the survey state."""
    of = f"source: {source}" if source else ""
    return f"""
== photos/{id_}.md ==
---
title: Photo {id_}
kind: period
alt: A picture
{of}
airframe: {{is: {airframe}, by: HB, on: 2026-01-02, because: the mark is legible}}
configurations:
  - {{configuration: survey-1932, is: must, by: HB, on: 2026-01-02, because: on floats}}
regions:
  - {{id: chine, outline: [[0, 0], [10, 0], [10, 10]]}}
{more}
---
"""


def part(claims: str, more: str = "survives: no", id_: str = "chine") -> str:
    """A part with claims as text."""
    return f"""
== parts/{id_}.md ==
---
title: Part {id_}
zone: zones/700
{more}
claims:
{claims}
---
"""
