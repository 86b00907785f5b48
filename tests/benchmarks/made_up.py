"""A made-up archive of any size, for benchmarks: every kind of record, seeded, checks clean.

python tests/benchmarks/made_up.py FOLDER RECORDS
"""

from __future__ import annotations

import random
import sys
from pathlib import Path

from PIL import Image

ZONES = (100, 200, 300, 400, 500, 600, 700, 800)
ASPECTS = ("existence", "shape", "size", "material")
WORDS = [
    "strut",
    "rib",
    "spar",
    "cowl",
    "float",
    "chine",
    "rivet",
    "plate",
    "lap",
    "edge",
    "frame",
    "post",
    "tail",
    "wing",
    "hatch",
    "rail",
    "mast",
    "brace",
    "wire",
    "clip",
    "lug",
    "fork",
    "pin",
    "tube",
    "gusset",
    "stringer",
    "panel",
    "skin",
    "bead",
    "louvre",
    "doubler",
    "scarf",
    "patch",
    "port",
    "starboard",
    "upper",
    "lower",
    "inboard",
    "outboard",
    "forward",
    "aft",
    "clear",
    "sharp",
    "worn",
    "bent",
    "torn",
    "painted",
    "primed",
    "doped",
    "riveted",
    "bolted",
    "soldered",
    "pencil",
    "stamp",
    "ghost",
    "scratch",
    "rub",
    "stain",
    "dent",
    "seen",
    "shows",
    "print",
    "letter",
    "log",
    "album",
    "copied",
    "traced",
    "measured",
    "read",
    "agrees",
    "differs",
    "beside",
    "beneath",
    "behind",
]

AIRCRAFT = """\
name: Made-up biplane
mark: ZZ-1
units: mm
datum: {station_zero: the firewall}
target: first
handover: 2027-05-28
events:
  - {id: flown, when: 1932-04-09, says: First flight}
  - {id: changed, when: 1933-05/1933-08, says: Changed}
configurations:
  - {id: first, name: As first flown, after: [flown], before: [changed]}
"""
PEOPLE = """\
people:
  - {id: aa, initials: AA, name: A. A., role: lead}
  - {id: bb, initials: BB, name: B. B., role: owner}
"""


def prose(rng: random.Random, words: int = 110) -> str:
    """Some sentences, a heading and a list, like a note that somebody wrote."""
    lines = ["## What is seen", ""]
    said = 0
    while said < words:
        count = rng.randint(7, 14)
        said += count
        lines.append(" ".join(rng.choice(WORDS) for _ in range(count)).capitalize() + ".")
    lines += ["", *(f"- {rng.choice(WORDS)} {rng.choice(WORDS)}" for _ in range(3)), ""]
    return "\n".join(lines)


def write_archive(folder: Path, records: int, seed: int = 1932) -> None:
    """A content folder of about `records` records, one in two hundred a photograph."""
    rng = random.Random(seed)
    for kind in ("parts", "sources", "photos", "decisions", "questions"):
        (folder / kind).mkdir(parents=True, exist_ok=True)
    (folder / "aircraft.yaml").write_text(AIRCRAFT)
    (folder / "people.yaml").write_text(PEOPLE)
    (folder / "zones.yaml").write_text(
        "zones:\n"
        + "".join(
            f'  - {{id: "{z}", name: Zone {z}, outlines: [{{view: side, points: '
            f"[[{z}, 0], [{z + 90}, 0], [{z + 90}, 80], [{z}, 80]]}}]}}\n"
            for z in ZONES
        )
    )
    photos = max(4, records // 200)
    sources, decisions, questions = records * 4 // 10, records // 20, records // 20
    parts = records - photos - sources - decisions - questions
    for n in range(sources):
        _write(folder / "sources" / f"s-{n}.md", _source(rng, n), prose(rng))
    for n in range(photos):
        _write(folder / "photos" / f"p-{n}.md", _photo(n, sources), prose(rng))
        left, top = 16 * (n % 40), 16 * (n // 40 % 26)
        grain = Image.effect_noise((640, 420), 60)  # no two pictures alike, nor from one negative
        grain.paste(255, (left, top, left + 16, top + 16))
        grain.save(folder / "photos" / f"p-{n}.jpg", quality=70)
    for n in range(parts):
        _write(folder / "parts" / f"part-{n}.md", _part(rng, n, parts, sources, photos), prose(rng))
    for n in range(decisions):
        _write(folder / "decisions" / f"d-{n}.md", _decision(n, parts), prose(rng))
    for n in range(questions):
        _write(folder / "questions" / f"q-{n}.md", _question(n, parts), prose(rng))


def _write(path: Path, front: str, body: str) -> None:
    path.write_text(f"---\n{front}---\n{body}")


def _source(rng: random.Random, n: int) -> str:
    made = f"derived_from: sources/s-{n - n % 3}\n" if n % 3 else ""
    title = " ".join(rng.choice(WORDS) for _ in range(3)).capitalize()
    return (
        f"title: {title} {n}\nnumber: S-{n}\n"
        f"citation: {{type: manuscript, title: Leaf {n}, author: A clerk, "
        f"issued: 193{n % 5}, archive: Some archive, archive_location: 'Box {n % 40}'}}\n"
        f"generation: original\nfirst_hand: yes\nairframe: {{is: this, by: AA, on: 2026-01-02}}\n"
        f"{made}"
    )


def _photo(n: int, sources: int) -> str:
    return (
        f"title: Print {n}\nnumber: F-{n}\nkind: period\nalt: A noisy picture\n"
        f"source: s-{n % sources}\nairframe: {{is: this, by: AA, on: 2026-01-02}}\n"
        "configurations: [{configuration: first, is: must, by: AA, on: 2026-01-02, "
        "because: the floats}]\n"
        "regions: [{id: patch, outline: [[10, 10], [200, 10], [200, 150], [10, 150]]}]\n"
    )


def _part(rng: random.Random, n: int, parts: int, sources: int, photos: int) -> str:
    title = " ".join(rng.choice(WORDS) for _ in range(2)).capitalize()
    lines = [
        f"title: {title} {n}\nnumber: P-{n}\nzone: zones/{ZONES[n % 8]}\nsurvives: no\n"
        f"summary: A thing that is made up\nmates: [part-{(n + 1) % parts}]\nclaims:\n"
    ]
    for aspect in ASPECTS[: 2 + n % 3]:
        lines.append(
            f"  - id: {aspect}\n    aspect: {aspect}\n    says: Its {aspect} is so\n"
            "    configuration: first\n    tolerance: 2 mm\n    evidence:\n"
        )
        for k in range(2):
            value = f"{100 + k} mm +/- 2 mm"
            if (n + k) % 40 == 0:
                lines.append(f"      - {{photo: p-{n % photos}#patch, value: {value}}}\n")
            else:
                ref = f"s-{rng.randrange(sources)}"
                lines.append(f"      - {{source: {ref}, quote: it is so, value: {value}}}\n")
    return "".join(lines)


def _decision(n: int, parts: int) -> str:
    return (
        f"title: Decision {n}\nquestion: Is it to be built?\nabout: [parts/part-{n % parts}]\n"
        "options:\n  - {id: build, says: Build it}\n  - {id: leave, says: Leave it off}\n"
        "choice: build\noption: build\nbecause: The evidence suffices\n"
        "approvals: [{by: BB, role: owner, on: 2026-05-01}]\n"
    )


def _question(n: int, parts: int) -> str:
    return (
        f"title: Question {n}\nquestion: Was it there?\nabout: [parts/part-{(n * 7) % parts}]\n"
        "by_when: 2027-01-15\nwould_settle: A picture from port\n"
    )


if __name__ == "__main__":
    write_archive(Path(sys.argv[1]), int(sys.argv[2]))
