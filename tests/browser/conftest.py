"""A small site on the disk and a browser to open it with, from `file://` as from a stick."""

from __future__ import annotations

from pathlib import Path

import pytest
from site_sample import drawn, pictures_of, view_of, written

from archive.search.shards import export
from archive.site.addresses import SEARCH_FOLDER
from archive.site.documents import documents
from archive.site.pages import pages
from archive.site.render import render, theme_files


@pytest.fixture(scope="session")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample's site, with a picture for each size and tile that its pages name."""
    view = view_of(written(tmp_path_factory.mktemp("sample")))
    out = tmp_path_factory.mktemp("site")
    sets = pictures_of(view)
    files = {page.path: render(page) for page in pages(view, sets)}
    files |= {path: file.read_bytes() for path, file in theme_files()}
    files |= {SEARCH_FOLDER + name: data for name, data in export(documents(view)).items()}
    for path, data in files.items():
        file = out / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(data)
    for made in sets.values():
        for path in made.files:
            (out / path).parent.mkdir(parents=True, exist_ok=True)
            drawn(out / path, 256, 170)
    return out
