"""Where the theme lies: what pages and papers are made with, in a checkout or as installed."""

from __future__ import annotations

from pathlib import Path

WORKSHOP = "workshop"


def theme_dir(theme: str = WORKSHOP) -> Path:
    """The folder of a theme."""
    packed = Path(__file__).parents[1] / "_themes"
    return (packed if packed.is_dir() else Path(__file__).parents[2] / "themes") / theme
