"""Where the theme lies: what pages and papers are made with, in a checkout or as installed."""

from __future__ import annotations

from pathlib import Path


def theme_dir() -> Path:
    """The folder of the theme `workshop`."""
    packed = Path(__file__).parents[1] / "_themes"
    return (packed if packed.is_dir() else Path(__file__).parents[2] / "themes") / "workshop"
