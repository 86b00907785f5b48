"""What comparing two pictures gave: one of four answers, its figures, and where they differ."""

from __future__ import annotations

from dataclasses import dataclass

from archive.core.findings import Finding

COPIES = "copies"
OPEN = "can't be told apart"
ANOTHER = "another negative"
NONE = "no connection found"
ANSWERS = (COPIES, OPEN, ANOTHER, NONE)
"""The four answers: shared grain or dust; same stand and nothing moved; same scene from another
stand or with a thing moved; nothing found (which is not "different")."""

Warp = tuple[float, float, float, float, float, float]
"""(a, b, c, d, e, f): a pixel (x, y) of the second picture lies at (ax + by + c, dx + ey + f) of
the first, both upright."""


@dataclass(frozen=True, slots=True)
class Patch:
    """A box in upright pixels of the first picture where the two differ.

    `moved_px` is how far the thing there lies off in the second, in pixels of the first; 0 where it
    is not found near by.
    """

    left: float
    top: float
    right: float
    bottom: float
    moved_px: float


@dataclass(frozen=True, slots=True)
class Likeness:
    """The answer about two pictures, of which `one` has the smaller checksum.

    `one` and `other` are SHA-256 sums of the files. `mirrored` and `negative` tell how the second
    has to be turned over, or its tones reversed, to lie on the first by `warp`. `matches` counts
    the points that fit; `agreeing` and `moved` are the parts (0 to 1) of the textured places that
    agree, and that are there but elsewhere; `grain` is the correlation of the fine detail, with
    `grain_z` the number of standard deviations above the same at wrong shifts, over `grain_places`;
    `keystone_px` is how far the best flat view leaves the best straight one. `same_place` says that
    the two lie at one place of their scans, where a scanner's own pattern is shared too.
    """

    one: str
    other: str
    answer: str
    mirrored: bool = False
    negative: bool = False
    warp: Warp = (1.0, 0.0, 0.0, 0.0, 1.0, 0.0)
    matches: int = 0
    agreeing: float = 0.0
    moved: float = 0.0
    grain: float = 0.0
    grain_z: float = 0.0
    grain_places: int = 0
    keystone_px: float = 0.0
    same_place: bool = False
    patches: tuple[Patch, ...] = ()

    @property
    def related(self) -> bool:
        """Whether any connection was found."""
        return self.answer != NONE


@dataclass(frozen=True, slots=True)
class Related:
    """Two photographs whose pictures are related.

    `one` and `other` are REFs; `found` is what the comparison gave, its first picture being that of
    `one`. `finding` is the answer with the rules and figures behind it. `ruled` is a person's word,
    "same" or "different", "" where nobody has ruled; `asks` is the question that is open, "" for
    none; `way_round` likewise asks whether one is printed the wrong way round. `best` is the REF of
    the one that is nearer to the negative, "" where the records don't tell.
    """

    one: str
    other: str
    found: Likeness
    finding: Finding
    ruled: str = ""
    asks: str = ""
    way_round: str = ""
    best: str = ""

    def beside(self, ref: str) -> str:
        """The REF of the other of the two; "" if `ref` is neither."""
        return {self.one: self.other, self.other: self.one}.get(ref, "")
