"""The sample site's view, read and weighed once."""

from __future__ import annotations

import pytest
from site_sample import view_of, written

from archive.audience.view import View


@pytest.fixture(scope="session")
def view(tmp_path_factory: pytest.TempPathFactory) -> View:
    """What the crew sees of the sample."""
    return view_of(written(tmp_path_factory.mktemp("sample")))
