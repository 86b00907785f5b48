"""A made-up archive to be judged: as many photographs as claims, seeded, at any size.

It has what makes judging hard: prints from negatives, halftones, one album behind many pictures,
written, argued and published dates, features seen and seen to be absent, parts fitted at events,
claims that lean on other claims, rivals, signed decisions and open questions.
"""

from __future__ import annotations

import random
from pathlib import Path

_EVENTS = ("flown", "floats", "longer-post", "repaint", "sinking")
_STATES = ("first", "floating", "longer", "last")
_ASPECTS = ("existence", "shape", "size", "material")
_WHO = "by: AA, on: 2026-01-02, because: as it looks"

_AIRCRAFT = """\
name: Made-up biplane
mark: ZZ-1
units: mm
datum: {station_zero: the firewall}
target: floating
handover: 2027-05-28
events:
  - {id: flown, when: 1932-04-09, says: First flight}
  - {id: floats, when: 1932-06-11, says: Floats fitted}
  - {id: longer-post, when: 1933-05/1933-08, says: Post lengthened}
  - {id: repaint, when: 1935-03, says: Repainted}
  - {id: sinking, when: 1935-09-14, says: Sank}
configurations:
  - {id: first, name: As first flown, after: [flown], before: [floats]}
  - {id: floating, name: On floats, after: [floats], before: [longer-post]}
  - {id: longer, name: With the longer post, after: [longer-post], before: [repaint]}
  - {id: last, name: As repainted, after: [repaint], before: [sinking]}
sisters:
  - {id: zz-2, mark: ZZ-2}
"""
_PEOPLE = """\
people:
  - {id: aa, initials: AA, name: A. A., role: lead}
  - {id: bb, initials: BB, name: B. B., role: owner}
"""


def judged_archive(claims: int, seed: int = 1932) -> dict[str, str]:
    """Path → text of an archive of about so many claims, and as many photographs."""
    rng = random.Random(f"{seed}")
    photos, parts = claims, max(3, claims // 3)
    negatives, letters = max(2, photos * 2 // 3), max(2, claims // 5)
    zones = "".join(f'  - {{id: "{n}", name: Zone {n}}}\n' for n in range(100, 900, 100))
    files = {
        "aircraft.yaml": _AIRCRAFT,
        "people.yaml": _PEOPLE,
        "zones.yaml": f"zones:\n{zones}",
    }
    files["sources/album.md"] = _note("title: An album\ncitation: {type: collection, title: Album}")
    for n in range(negatives):
        files[f"sources/n-{n}.md"] = _note(_negative(rng, n))
    for n in range(letters):
        files[f"sources/l-{n}.md"] = _note(_letter(rng, n))
    for n in range(photos):
        if n % 9 == 0:
            files[f"sources/h-{n}.md"] = _note(_halftone(rng, n, negatives))
        files[f"photos/p-{n}.md"] = _note(_photo(rng, n, negatives, parts))
    for n in range(parts):
        files[f"parts/part-{n}.md"] = _note(_part(rng, n, photos, letters))
    for n in range(parts // 6):
        files[f"decisions/d-{n}.md"] = _note(
            f"title: Decision {n}\nquestion: Is it to be built?\nabout: [parts/part-{n * 5}]\n"
            "options: [{id: build, says: Build it}]\nchoice: build\noption: build\n"
            "because: The evidence suffices\napprovals: [{by: BB, role: owner, on: 2026-05-01}]"
        )
        files[f"questions/q-{n}.md"] = _note(
            f"title: Question {n}\nquestion: Was it there?\nabout: [parts/part-{n * 3}]"
        )
    return files


def write(folder: Path, files: dict[str, str]) -> None:
    """Write the files of an archive, with an empty picture beside each photograph's note."""
    for path, text in files.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_text(text)
        if path.startswith("photos/"):
            (folder / path).with_suffix(".jpg").touch()


def _note(front: str) -> str:
    return f"---\n{front}\n---\n"


def _negative(rng: random.Random, n: int) -> str:
    sitting = f"sitting: roll-{n // 12}\n" if n % 4 == 0 else ""
    dated = ""
    if rng.random() < 0.3:
        dated = f"dated: {{is: 193{rng.randrange(2, 6)}, {_WHO}}}\n"
    return (
        f"title: Negative {n}\ncitation: {{type: graphic, title: Negative {n}}}\n"
        f"generation: negative\nwithin: sources/album\n{sitting}{dated}"
        f"airframe: {{is: this, {_WHO}}}"
    )


def _letter(rng: random.Random, n: int) -> str:
    day = f"193{rng.randrange(2, 6)}-{rng.randrange(1, 13):02d}"
    made = f"\nderived_from: [sources/l-{n - 1}]" if n % 5 == 4 else ""
    return (
        f"title: Letter {n}\ncitation: {{type: personal_communication, title: Letter {n}, "
        f"author: A clerk, issued: {day}}}\ndated: {{is: {day}, {_WHO}}}\n"
        f"first_hand: {'yes' if n % 3 else 'no'}\nairframe: {{is: this, {_WHO}}}{made}"
    )


def _halftone(rng: random.Random, n: int, negatives: int) -> str:
    return (
        f"title: Page {n}\ncitation: {{type: article-magazine, title: Page {n}, "
        f"container-title: A paper, issued: 193{rng.randrange(3, 6)}-{rng.randrange(1, 13):02d}}}\n"
        f"generation: halftone\nderived_from: [sources/n-{n % negatives}]"
    )


def _photo(rng: random.Random, n: int, negatives: int, parts: int) -> str:
    source = f"h-{n}" if n % 9 == 0 else f"n-{n % negatives}"
    lines = [
        f"title: Print {n}\nkind: period\nalt: A made-up picture\nsource: {source}",
        f"airframe: {{is: {'sister' if n % 31 == 0 else 'this'}, {_WHO}}}",
        "regions: [{id: patch, outline: [[10, 10], [200, 10], [200, 150]]}]",
    ]
    if n % 31 == 0:
        lines.append("sister: sisters/zz-2")
    chance = rng.random()
    if chance < 0.3:
        lines.append(f"date: {{stated: 193{rng.randrange(2, 6)}}}")
    elif chance < 0.5:
        lines.append(f"date: {{argued: {{is: 1932-{rng.randrange(6, 10):02d}, {_WHO}}}}}")
    if n % 31 and rng.random() < 0.7:
        seen = rng.choice(("events/floats", f"parts/part-{rng.randrange(parts)}"))
        shown = f"{{feature: {seen}, is: seen}}"
        if rng.random() < 0.3:
            shown = "{feature: events/longer-post, is: absent, would_have_shown: yes}"
        lines.append(f"shows: [{shown}]")
    if rng.random() < 0.2:
        lines.append(f"configurations: [{{configuration: floating, is: must, {_WHO}}}]")
    return "\n".join(lines)


def _part(rng: random.Random, n: int, photos: int, letters: int) -> str:
    survives = ("no", "no", "whole", "fragment")[n % 4]
    lines = [
        f"title: Part {n}\nzone: zones/{100 * (n % 8 + 1)}\nsurvives: {survives}",
        "fitted: {from: floats, until: longer-post}" if n % 3 else "fitted: {from: flown}",
        "claims:",
    ]
    for k in range(3):
        aspect = _ASPECTS[(n + k) % 4]
        lines.append(
            f"  - id: c{k}\n    aspect: {aspect}\n    says: It is so\n"
            f"    configuration: {_STATES[n % 4] if n % 7 == 0 else 'floating'}\n"
            f"    tolerance: 2 mm\n    evidence:"
        )
        size = f", value: {100 + rng.randrange(3)} mm +/- 1 mm"
        for _ in range(rng.randrange(1, 3)):
            lines.append(f"      - {{photo: p-{rng.randrange(photos)}#patch{size}}}")
        letter = int(letters * rng.random() ** 3)  # a few letters tell of very much
        lines.append(f"      - {{source: l-{letter}, quote: it is so{size}}}")
        if survives == "whole" and k == 1:
            lines.append(f"      - {{part: part-{n}{size}}}")
        if n % 4 == 0 and n >= 4 and k == 0:
            lines.append(f"      - {{part: parts/part-{n - 2}#c1{size}}}")
    if n % 10 == 0:
        lines += [
            "  - id: other\n    aspect: size\n    says: It is wider\n    rival_of: c2\n"
            f"    configuration: floating\n    evidence:\n"
            f"      - {{photo: p-{n}#patch, value: 120 mm +/- 1 mm}}"
        ]
    return "\n".join(lines)
