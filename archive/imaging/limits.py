"""How much memory, time and how many pixels one image may take."""

from __future__ import annotations

from dataclasses import dataclass

MEGA = 1_000_000
MEBI = 1024 * 1024

USUAL_PIXELS = 200 * MEGA
MOST_PIXELS = 600 * MEGA  # for a file that is allowed it by name, never for all


@dataclass(frozen=True, slots=True)
class Limits:
    """What one job in the child may use; where the platform can't limit memory and processor
    time (Windows), the wall time alone bounds it.

    `pixels` is the largest width times height; `allowed` says that a person named this file, so
    that a small file with many pixels is believed. `memory_bytes` bounds the address space.
    `cpu_s` and `wall_s` are seconds.
    """

    pixels: int = USUAL_PIXELS
    allowed: bool = False
    memory_bytes: int = 2048 * MEBI
    cpu_s: float = 60.0
    wall_s: float = 240.0

    @classmethod
    def for_facts(cls, file_bytes: int, allowed_pixels: int | None = None) -> Limits:
        """For reading a file of `file_bytes` through once and parsing its header.

        Counts on a disk of 4 MB/s and a processor that hashes 50 MB/s: a tenth of what is usual.
        `allowed_pixels` is cut at `MOST_PIXELS`.
        """
        return cls(
            pixels=min(allowed_pixels or USUAL_PIXELS, MOST_PIXELS),
            allowed=allowed_pixels is not None,
            cpu_s=10 + file_bytes / (50 * MEGA),
            wall_s=60 + file_bytes / (4 * MEGA),
        )

    @classmethod
    def for_pixels(cls, pixels: int) -> Limits:
        """For decoding an image of so many pixels, whose header was accepted before.

        Two copies at four bytes a pixel live at once when a picture is turned upright, and the
        levels of its pyramid add a third of one.
        """
        return cls(
            pixels=min(max(pixels, USUAL_PIXELS), MOST_PIXELS),
            allowed=True,
            memory_bytes=max(2048 * MEBI, 512 * MEBI + 10 * pixels),
            cpu_s=30 + pixels / MEGA,
            wall_s=120 + 4 * pixels / MEGA,
        )
