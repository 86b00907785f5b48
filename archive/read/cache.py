"""Records read before, kept so that an unchanged file needn't be read again."""

from __future__ import annotations

from collections.abc import Mapping

from archive.core.sealed import Sealed
from archive.read.records import Entry

Kept = Mapping[str, tuple[str, Entry]]
"""Path of a file → the checksum of its bytes and what it gave."""

RECORDS = Sealed("records.bin", ("core", "records", "read"))
"""Where they are kept."""
