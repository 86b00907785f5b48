"""The demo, weighed once, as the record's keepers see it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from archive.audience.record import record_view
from archive.pipeline import weigh

DEMO = Path(__file__).parents[2] / "content"


@pytest.fixture(scope="session")
def weighed(demo_cache):
    return weigh(DEMO, demo_cache)


@pytest.fixture(scope="session")
def view(weighed):
    return record_view(
        weighed.library, weighed.findings, weighed.problems, weighed.images, date(2026, 11, 25)
    )
