"""A sealed record leaves no trace in what is foreseen."""

from __future__ import annotations

from datetime import date

import pytest
from site_sample import FILES, written

from archive.audience.crew import crew_view
from archive.pipeline import foresee, weigh

DAY = date(2026, 11, 25)
SEALED = ("sources/letter", "parts/wing", "decisions/strut-length", "photos/slipway")


@pytest.mark.parametrize("ref", SEALED)
def test_what_is_sealed_is_named_nowhere(tmp_path, ref):
    path = f"{ref}.md"
    sealed = FILES[path].replace("---\ntitle: ", "---\nsealed: yes\ntitle: Hidden-", 1)
    found = weigh(written(tmp_path / "content", {path: sealed}))
    whole = foresee(found)
    assert ref in repr(whole) or "Hidden-" in repr(whole), "it would be named"
    view = crew_view(found.library, found.findings, found.problems, found.images, DAY, whole)
    assert ref not in repr(view.foreseen)
    assert "Hidden-" not in repr(view.foreseen)


def test_nothing_is_left_out_where_nothing_is_sealed(tmp_path):
    found = weigh(written(tmp_path / "content"))
    whole = foresee(found)
    view = crew_view(found.library, found.findings, found.problems, found.images, DAY, whole)
    assert view.foreseen is whole
