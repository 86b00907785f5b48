"""A photograph: the picture file beside its note, what stands on it, and what it shows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from archive.records.common import Signed, Titled
from archive.records.source import AIRFRAMES
from archive.records.spec import Node, node, one_of, ref, spec_field, text

CERTAINTIES = ("must", "may", "cannot")


@dataclass(frozen=True, kw_only=True)
class ScanFile(Node):
    """Which file the coordinates were drawn on."""

    sha256: str | None = text("The checksum of the picture file, at least its first 8 characters.")
    size: Any = spec_field("point", "Width and height in pixels, turned upright.")


@dataclass(frozen=True, kw_only=True)
class RuledRegion(Signed):
    """Which part a region shows, settled after the picture was found to be flipped."""

    part: str | None = ref(("parts",), "The part that it shows.", required=True)


@dataclass(frozen=True, kw_only=True)
class Region(Node):
    """A named patch of the picture, in pixels of the file, turned upright, never mirrored."""

    id: str = spec_field("name", "Its name, for `photos/…#name`.", required=True)
    name: str | None = text("What it shows, in words.")
    outline: Any = spec_field("outline", "Its corners, in pixels.", required=True)
    part: str | None = ref(("parts",), "The part that it shows.")
    ruled: RuledRegion | None = node(RuledRegion, "The side, ruled once flipped.")
    withheld: bool | None = spec_field(
        "yesno", "`yes` covers this place, flat, in every picture that the public gets."
    )


@dataclass(frozen=True, kw_only=True)
class Shows(Node):
    """A feature that is there to be seen, or is seen to be absent."""

    feature: str | None = ref(("parts", "events", "configurations"), "The thing.", required=True)
    is_seen: str | None = one_of(
        ("seen", "absent"), "Seen, or absent where it would have shown.", required=True, key="is"
    )
    would_have_shown: bool | None = spec_field(
        "yesno", "For an absence: is the place visible, sharp and lit?"
    )
    region: str | None = spec_field("name", "Where on this picture.")
    by: str | None = spec_field("person", "Who read it.")


@dataclass(frozen=True, kw_only=True)
class InConfiguration(Signed):
    """A person's ruling whether the photograph falls into a configuration."""

    configuration: str | None = ref(("configurations",), "Which.", required=True)
    is_in: str | None = one_of(
        CERTAINTIES, "Must, may or cannot it fall there?", required=True, key="is"
    )
    because: str | None = text("Why.", required=True)


@dataclass(frozen=True, kw_only=True)
class SameNegative(Signed):
    """A person's ruling whether two photographs come from one negative."""

    photo: str | None = ref(("photos",), "The other photograph.", required=True)
    is_same: str | None = one_of(
        ("same", "different"), "One negative or two?", required=True, key="is"
    )
    because: str | None = text("Why.", required=True)


@dataclass(frozen=True, kw_only=True)
class Retouched(Node):
    """A patch that somebody worked over: it is no evidence for what it shows."""

    outline: Any = spec_field("outline", "Its corners, in pixels.", required=True)
    says: str | None = text("What was done, and how one sees it.")


@dataclass(frozen=True, kw_only=True)
class PhotoDate(Node):
    """When it was taken: as somebody wrote, and as argued. A scan's date is neither."""

    stated: Any = spec_field("date", "As the print or its caption says.")
    argued: Any = spec_field("date", "As argued, with the reason.", judged=True)


@dataclass(frozen=True, kw_only=True)
class Scan(Node):
    """How the file came about."""

    by: str | None = text("Who scanned or photographed it.")
    on: Any = spec_field("day", "When.")
    dpi: Any = spec_field("whole", "Dots an inch.")
    rule: bool | None = spec_field("yesno", "Is a rule in the scan?")
    large: bool | None = spec_field(
        "yesno", "`yes` lets this file be opened though it has more than 200 million pixels."
    )


@dataclass(frozen=True, kw_only=True)
class Photo(Titled):
    """A picture of the aircraft, of what remains, of a mock-up, or of a paper."""

    kind = "photos"
    singular = "photo"
    what = "a photograph"

    shows_what: str | None = one_of(
        ("period", "as-found", "mock-up", "document"),
        "Only period photographs are period witnesses.",
        required=True,
        key="kind",
    )
    source: str | None = ref(("sources",), "The item it is a picture of.")
    alt: str | None = text("The picture in a sentence, for those who can't see it.")
    front: str | None = text("What is written on the front, verbatim.")
    back: str | None = text("What is written on the back, verbatim.")
    date: PhotoDate | None = node(PhotoDate, "When it was taken.")
    airframe: Any = one_of(AIRFRAMES, "Which aircraft it shows.", judged=True)
    sister: str | None = ref(("sisters",), "Which sister, where it is one.")
    configurations: tuple[InConfiguration, ...] = node(
        InConfiguration, "Rulings on the state it shows.", many=True
    )
    flipped: Any = spec_field(
        "yesno", "Is this print the wrong way round?", judged=True, bare=False
    )
    frame: str | None = one_of(("whole", "cropped", "unknown"), "Is the whole negative here?")
    lens: str | None = one_of(
        ("ordinary", "bends"),
        "`bends` where straight edges come out bowed towards the rim: a wide lens, or a telephone "
        "held close.",
    )
    retouched: tuple[Retouched, ...] = node(Retouched, "Patches worked over.", many=True)
    regions: tuple[Region, ...] = node(Region, "Named patches.", many=True, pieces=True)
    shows: tuple[Shows, ...] = node(Shows, "What is seen, or seen to be absent.", many=True)
    picks: Any = spec_field("point", "Surveyed points found on the picture.", table=True)
    picks_ruled: Signed | None = node(
        Signed, "Who saw to it that the picks name the right hand, once the print is known flipped."
    )
    same_negative: tuple[SameNegative, ...] = node(
        SameNegative, "Rulings on other prints.", many=True
    )
    file: ScanFile | None = node(ScanFile, "The file that coordinates were drawn on.")
    scan: Scan | None = node(Scan, "How the file came about.")
    monochrome: bool | None = spec_field(
        "yesno", "`no` for a colour photograph; period ones are taken as `yes`."
    )
