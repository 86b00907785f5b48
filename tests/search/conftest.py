"""Invented archives to search and lines to search them for, and a browser to do it in."""

from __future__ import annotations

import random
from collections.abc import Callable
from typing import TYPE_CHECKING

import pytest

from archive.search.codec import ALPHABET, PLACE, STEP, read_number
from archive.search.documents import Document

if TYPE_CHECKING:
    from playwright.sync_api import Browser

HEADS = [
    "Front strut",
    "Water-rudder post",
    "Port float",
    "Starboard float",
    "Centre section",
    "Nose bowl",
    "Chine strip",
    "Cabane strut",
    "Tailplane rib",
    "Aileron hinge",
    "Windscreen frame",
    "Exhaust stack",
    "Cowl panel",
    "Survey camera hatch",
    "Letter from the works",
    "Slipway photograph",
    "Hangar doors at Aske Quay",
    "Cutting from the Hollin Courier",
    "Mooring cleat",
    "Spreader bar",
    "Fuselage former",
]
SENTENCES = [
    "Fittings were re-drilled when the rudder post was lengthened.",
    "Rivets stand along the chine at an even pitch.",
    "The spats were taken off before the floats.",
    "No wheel pants can be seen on the left wheel.",
    "The fabric is stitched to every rib.",
    "Rib lacing shows under the doped covering.",
    "Blåvand, Øvre Hollin and the façade of the shed.",
    "The undercarriage was changed for twin floats.",
    "The airscrew is of laminated ash.",
    "Tag P-114 is wired to the fork end.",
    "Negative K.12/4 is a glass plate, its neighbour K.12/5 isn’t.",
    "Seen 1932-06-11 at the lake, in monochrome.",
    "The photographer's caption may be wrong.",
    "A streamline wire runs to the lower longeron.",
    "The operator’s post replaced the maker's.",
    "Copied — twice — from one print; naïve re-touching of the sky.",
    "Registration letters QK-41 in white on the fuselage side.",
    "The center-section tank held gas.",
    "Straße, smørbrød, œuvre, coöperate, Łódź.",
    "Station 1184 mm aft of the firewall.",
]
SIDES = ("port", "starboard", "left", "aft")
KINDS = ("part", "photo", "source", "decision", "question")
GRADES = ("", "on the airframe", "matched", "seen", "said")


def _archive(count: int, seed: int = 1) -> list[Document]:
    """`count` documents; the same for the same seed."""
    chance = random.Random(seed)
    made = []
    for number in range(count):
        kind = chance.choice(KINDS)
        marks = []
        if chance.random() < 0.5:
            marks.append(f"P-{chance.randint(1, 140)}")
        if chance.random() < 0.4:
            marks.append(f"K.{chance.randint(1, 14)}/{chance.randint(1, 9)}")
        if chance.random() < 0.2:
            marks.append(chance.choice(["QK-41", "B-47a", "0123", "Box 12 / 7", "QK-43"]))
        made.append(
            Document(
                ref=f"{kind}s/record-{number:03d}",
                kind=kind,
                title=f"{chance.choice(HEADS)}, {chance.choice(SIDES)}",
                text=" ".join(chance.choices(SENTENCES, k=chance.randint(0, 9))),
                marks=tuple(marks),
                zone=chance.choice(["", "100", "200", "300", "500"]),
                grade=chance.choice(GRADES),
                url=f"{kind}s/record-{number:03d}.html",
                summary=chance.choice(SENTENCES),
            )
        )
    return made


def _lines(count: int, seed: int = 2) -> list[str]:
    """`count` lines to search for, of every kind that a line may have."""
    chance = random.Random(seed)
    words = sorted({word.strip(".,;") for text in (*SENTENCES, *HEADS) for word in text.split()})
    terms = [
        "wheel pants",
        "spats",
        "centre section",
        "center section",
        "landing gear",
        "undercarriage",
        "rib lacing",
        "rib stitching",
        "letters",
        "license number",
        "port",
        "left",
        "airscrew",
        "prop",
        "petrol",
        "ship",
        "sternpost",
        "rudder post",
    ]
    marks = (
        "P-114|p114|P 114|K.12/4|k124|K-12-4|QK-41|qk41|B-47A|b47a|0123|123|Box 12|K.1/24|P-1*|k.1*"
    )

    def slip(word: str) -> str:
        at = chance.randrange(len(word))
        return chance.choice(
            [
                word[:at] + word[at + 1 :],
                word[:at] + chance.choice("aeiourstlnø") + word[at:],
                word[:at] + chance.choice("aeiourstln") + word[at + 1 :],
                word[:at] + word[at : at + 2][::-1] + word[at + 2 :],
            ]
        )

    def one() -> str:
        word = chance.choice(words)
        return chance.choice(
            [
                lambda: word,
                lambda: word.upper(),
                lambda: f"{word} {chance.choice(words)}",
                lambda: f"{word} {chance.choice(words)} {chance.choice(words)}",
                lambda: chance.choice(terms),
                lambda: f"{chance.choice(terms)} {word}",
                lambda: slip(word),
                lambda: slip(slip(word)),
                lambda: word[: chance.randint(1, 5)] + "*",
                lambda: chance.choice(marks.split("|")),
                lambda: (
                    '"' + " ".join(chance.choice(SENTENCES).split()[: chance.randint(1, 4)]) + '"'
                ),
                lambda: "“" + " ".join(chance.choice(SENTENCES).split()[1:4]),
                lambda: f'"{chance.choice(terms)}"',
                lambda: f"{word} kind:{chance.choice(KINDS)}",
                lambda: f"zone:{chance.choice(['100', '300'])} kind:photo kind:part {word}",
                lambda: f'grade:"on the airframe" {word}',
                lambda: f"{word}-{chance.choice(words)}",
                lambda: f"  {word},{chance.choice(words)}! ",
                lambda: "the of",
                lambda: "zone:200",
            ]
        )()

    return [one() for _ in range(count)]


def _read_postings(text: str) -> dict[int, list[int]]:
    postings: dict[int, list[int]] = {}
    at = document = 0
    while at < len(text):
        step, at = read_number(text, at, STEP)
        document += step
        count, place, found = 1, 0, []
        if text[at] == ALPHABET[89]:
            count, at = read_number(text, at + 1, PLACE)
        for _ in range(count):
            step, at = read_number(text, at, PLACE)
            place += step
            found.append(place)
        postings[document] = found
    return postings


@pytest.fixture(scope="session")
def read_postings() -> Callable[[str], dict[int, list[int]]]:
    """A function that reads postings as the page's script does."""
    return _read_postings


@pytest.fixture(scope="session")
def made_archive() -> Callable[..., list[Document]]:
    """A function of a count and a seed."""
    return _archive


@pytest.fixture(scope="session")
def made_lines() -> Callable[..., list[str]]:
    """A function of a count and a seed."""
    return _lines


@pytest.fixture(scope="session")
def browser(chromium: Browser) -> Browser:
    """Chromium, as a reader of the site would have it."""
    return chromium
