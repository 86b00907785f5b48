"""The commands: each in a file of its own; they print, and set the exit code."""

from __future__ import annotations

from archive.cli.main import main

__all__ = ["main"]
