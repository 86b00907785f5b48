"""A small content folder with a record of every kind, written as text, and the view of it."""
# ruff: noqa: E501  (the lines are those of the files that people write)

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from pathlib import Path

from PIL import Image, ImageDraw

from archive.audience.crew import crew_view
from archive.audience.view import View
from archive.core.images import PictureSet, PictureSize, TileLevel, Tiles
from archive.pipeline import foresee, weigh

FILES: Mapping[str, str] = {
    "aircraft.yaml": """
name: Lund & Aske Type 6
mark: QK-41
summary: A twin-float survey biplane raised from a lake.
datum:
  station_zero: the firewall
  butt_line_zero: the centre line
  water_line_zero: the upper longeron line
units: in
events:
  - {id: floats-fitted, when: 1932-06-11, says: Floats were fitted at the lake.}
  - {id: tail-post-mod, when: 1933-05/1933-08, says: The operator lengthened the post.}
configurations:
  - {id: survey-1932, name: "Survey, 1932", after: [floats-fitted], before: [tail-post-mod]}
sisters:
  - {id: qk-43, mark: QK-43, says: Built with it; the same paint.}
target: survey-1932
objective: A static display of the state of summer 1932.
handover: 2027-05-28
language: en-GB
""",
    "zones.yaml": """
zones:
  - id: "100"
    name: Fuselage
    says: From the firewall to the sternpost.
    outlines:
      - {view: side, points: [[0, 0], [5000, 0], [5000, -300], [0, -900]]}
      - {view: top, points: [[0, -400], [5000, -100], [5000, 100], [0, 400]]}
      - {view: front, points: [[-400, 0], [400, 0], [400, -900], [-400, -900]]}
  - id: "500"
    name: Wings
    outlines:
      - {view: side, smooth: yes, points: [[400, 900], [1200, 1000], [1900, 900], [1200, 850]]}
      - {view: top, points: [[400, -6000], [1900, -6000], [1900, 6000], [400, 6000]]}
      - {view: front, points: [[-6000, 900], [6000, 900], [6000, 1000], [-6000, 1000]]}
  - id: "700"
    name: Floats
    outlines:
      - {view: side, points: [[-300, -1500], [5200, -1500], [5200, -1700], [0, -2100]]}
""",
    "people.yaml": """
people:
  - {id: hanne-brekk, initials: HB, name: Hanne Brekk, role: lead, publish: yes}
  - {id: oda-wiik, initials: OW, name: Oda Wiik, role: owner, publish: yes}
""",
    "policy.yaml": """
overrides:
  - {rule: G3, grade: seen, says: A sister lends no more., because: A trial of the page., by: HB, on: 2026-01-05}
""",
    "parts/strut.md": """---
title: Front interplane strut, port
number: P-114
zone: "500"
summary: A spruce strut of streamline section, bound in linen; its foot is what the lake left.
side: port
station: 1000 mm
tag: "0218"
shelf: C4
survives: fragment
mates: [parts/wing]
hazards: [nitrate-dope, sharp-edges]
as_found: {by: HB, on: 2024-08-20, position: On the mud below the wing., condition: Split along the grain., photos: [photos/slipway]}
treatments:
  - id: dry
    options: [Dry slowly, Leave wet]
    choice: Dry slowly
    removes: {what: Loose linen, kept_at: shelf C4}
    reversible: no
    proposed: {by: HB, on: 2025-01-05}
members:
  - {tag: S-1, station: 1000 mm, side: port, survives: yes}
custody: [The lake, The workshop]
loan: {from: OW, due: 2027-06-30, may_copy: yes}
made:
  - {by: HB, on: 2026-02-01, what: Card trial, card: 031-1, mark: TRIAL, mark_place: inside the foot}
claims:
  - id: there
    aspect: existence
    says: A front strut stood on the port side
    evidence:
      - {photo: photos/slipway#port-strut, reading: clear, by: HB}
  - id: length
    aspect: size
    says: The strut is 58 1/2 in long between its pins
    configuration: survey-1932
    tolerance: 1/8 in
    evidence:
      - {source: sources/letter, quote: "The front struts, 58 1/2 in between pins.", value: 58 1/2 in +/- 1/4 in}
    graded:
      - {is: said, by: HB, on: 2026-03-01, because: The letter may mean the other bay.}
  - id: longer
    aspect: size
    says: The strut is 61 in long
    rival_of: length
    evidence:
      - {source: sources/copy, quote: sixty-one inches, value: 61 in +/- 1 in}
---
See [the letter](sources/letter), [the port strut](photos/slipway#port-strut), [nothing](parts/none)
and <script>alert(1)</script>[elsewhere](https://example.org/).
""",
    "parts/wing.md": """---
title: Upper wing, port
number: P-100
zone: "500"
survives: no
---
""",
    "photos/slipway.md": """---
title: On the slipway
number: F-206
kind: period
source: sources/print
alt: A biplane on floats stands on a slipway, seen from the port bow.
front: ""
back: "neg. 7, June 1932"
date:
  stated: 1932-06
  argued: {is: 1932-06-14, by: HB, on: 2026-02-12, because: Pencil and stamp agree.}
airframe: {is: this, by: HB, on: 2026-02-12, because: The mark is on the side.}
frame: whole
regions:
  - {id: port-strut, name: Front strut, outline: [[700, 100], [760, 100], [740, 420], [690, 420]], part: parts/strut}
  - {id: wing, name: Upper wing, outline: [[200, 60], [1000, 60], [1000, 120], [200, 120]], part: parts/wing}
retouched:
  - {outline: [[50, 500], [200, 500], [200, 600]], says: Sky painted in.}
shows:
  - {feature: parts/strut, is: seen}
---
""",
    "photos/second.md": """---
title: From astern
kind: period
source: sources/copy
alt: The same biplane from astern.
flipped: {is: yes, by: HB, on: 2026-02-12, because: The letters read backwards.}
---
""",
    "sources/print.md": """---
title: Print of the slipway
number: S-12
citation: {type: graphic, title: On the slipway, issued: 1932}
holder: The district archive
box: B3
negative: "7"
generation: vintage-print
airframe: this
derived_from: sources/negative
rights:
  basis: permission
  holder: The district archive
  credit: District Archive
  crop: no
  overprint: no
  grants: [{use: panel, until: 2032-01-01, letter: sources/letter}]
  log: [{on: 2026-01-10, says: Asked for the web., by: HB}]
---
""",
    "sources/negative.md": """---
title: Negative of the slipway
citation: {type: graphic}
generation: negative
---
""",
    "sources/copy.md": """---
title: Copy print
citation: {type: graphic, issued: 1951}
generation: copy-print
derived_from: sources/print
discredited: {is: no, by: HB, on: 2026-01-10, because: Nothing speaks against it.}
---
""",
    "sources/letter.md": """---
title: Letter of the works
number: S-28
citation: {type: personal_communication, author: "Aske, Ragnar", issued: 1932-05-03}
first_hand: {is: yes, by: HB, on: 2026-01-10, because: He built it.}
generation: original
transcript: |
  Dear Sir, the front struts measure 58 1/2 in between pins.

  Yours, R. Aske
airframe: {is: this, by: HB, on: 2026-01-02}
---
""",
    "decisions/strut-length.md": """---
title: The length of the front strut
number: D-01
question: To which length is the front strut made?
about: [parts/strut#length]
options:
  - {id: short, says: "58 1/2 in, as the letter says", for: [sources/letter], against: [sources/copy], reversible: yes, cost: two days}
  - {id: long, says: 61 in, for: [sources/copy]}
choice: build-provisionally
option: short
because: The letter was written by the man who built it.
leans_on: [parts/strut#length]
dissent: [{by: OW, on: 2026-04-02, says: I would wait for a measurement.}]
approvals: [{by: OW, on: 2026-04-02, role: owner}]
review: A photograph square to the port wing.
by: HB
on: 2026-04-01
---
""",
    "questions/which-bay.md": """---
title: Which bay does the letter mean?
number: Q-05
question: Does the letter give the front or the rear strut?
about: [parts/strut]
would_settle: A photograph square to the port wing.
by_when: 2027-01-22
enquiries: [{who: The district archive, on: 2026-05-01, by: HB, says: Is there a broadside view?, chase: 2026-12-01}]
---
""",
    "questions/colour.md": """---
title: Was the strut varnished?
question: Varnish or paint?
settled: {by: HB, on: 2026-05-01, says: Varnish, evidence: [parts/strut]}
---
""",
    "measurements/strut-slipway.yaml": """
title: Front strut from the slipway
photos: [photos/slipway]
method: scale
between: [head, foot]
picks:
  - {point: head, at: [730, 105]}
  - {point: foot, at: [715, 415]}
references:
  - {between: [head, foot], length: parts/strut#length, same_plane: yes}
""",
    "surveys/remains.yaml": """
title: Points on the remains
instrument: steel rule
damage: The foot is bent.
by: HB
on: 2024-09-01
points:
  - {id: foot-pin, x: 1000 mm +/- 2 mm, y: -1200 mm +/- 2 mm, z: 10 mm +/- 2 mm, part: parts/strut, says: Centre of the pin}
""",
    "states/spring.yaml": """
on: 2026-04-01
rules: 1
claims:
  "parts/strut#there": {"grade": "conjecture", "settled": "yes", "witnesses": 0, "evidence": "7QK4M2"}
decisions:
parts:
  "parts/strut": {"trial": "cleared", "cut": "cleared"}
""",
    "stories/raised.md": """---
title: How it was raised
summary: Eighty-nine years under water.
about: [parts/strut]
picture: photos/slipway
---
It lay *upright* on the mud.
""",
}
"""Path in the folder → text."""

AS_OF = date(2026, 11, 24)


def written(folder: Path, changes: Mapping[str, str] | None = None) -> Path:
    """The sample as a content folder; `changes` replace or add files."""
    for path, text in {**FILES, **(changes or {})}.items():
        file = folder / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text.lstrip("\n"), encoding="utf-8")
    drawn(folder / "photos/slipway.jpg", 1200, 800)
    drawn(folder / "photos/second.png", 600, 400)
    return folder


def drawn(file: Path, width: int, height: int) -> None:
    """A picture with something to see on it."""
    image = Image.new("L", (width, height), 170)
    pen = ImageDraw.Draw(image)
    pen.rectangle((0, height * 0.7, width, height), fill=110)
    pen.rectangle((width * 0.17, height * 0.08, width * 0.83, height * 0.15), fill=60)
    pen.ellipse((width * 0.3, height * 0.4, width * 0.8, height * 0.6), fill=80)
    image.save(file)


def view_of(folder: Path) -> View:
    """What the crew sees of a content folder."""
    found = weigh(folder)
    return crew_view(
        found.library, found.findings, found.problems, found.images, AS_OF, foresee(found)
    )


def pictures_of(view: View) -> dict[str, PictureSet]:
    """Pictures by photograph id, as if they had been made; the larger ones with tiles."""
    return {
        id_: PictureSet(
            id_,
            facts.width_px,
            facts.height_px,
            tuple(
                PictureSize(f"pictures/{id_}-{width}.jpg", width, width * 2 // 3)
                for width in (320, 640)
            ),
            tiles_of(id_, facts.width_px, facts.height_px) if facts.width_px > 1000 else None,
        )
        for id_, facts in view.images.items()
    }


def tiles_of(id_: str, width: int, height: int) -> Tiles:
    """Tiles of 256 pixels, halved until one holds the picture."""
    levels = [(width, height)]
    while max(levels[0]) > 256:
        levels.insert(0, ((levels[0][0] + 1) // 2, (levels[0][1] + 1) // 2))
    return Tiles(
        f"tiles/{id_}",
        width,
        height,
        tuple(TileLevel(w, h, -(-w // 256), -(-h // 256)) for w, h in levels),
        256,
        1,
    )
