"""Content folders for the tests, each written from one text, and the browser that tests drive."""

from __future__ import annotations

import hashlib
import os
import re
import shutil
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from archive import pipeline

TODAY = datetime(2026, 11, 25, 12, tzinfo=UTC)
os.environ["SOURCE_DATE_EPOCH"] = str(int(TODAY.timestamp()))
"""The day on which the tests take place, whatever the computer's clock says."""

MINIMAL = {
    "aircraft.yaml": """\
name: Lund & Aske Type 6
mark: QK-41
units: mm
datum: {station_zero: Firewall on the centre line}
events:
  - {id: rolled-out, when: 1932-03, says: Rolled out of the works}
  - {id: floats-fitted, when: 1932-06-11, says: Floats fitted at the lake}
  - {id: tail-post-mod, when: 1933-05/1933-08, says: Water rudder post lengthened}
configurations:
  - {id: works-1932, name: Works 1932, after: [rolled-out], before: [floats-fitted]}
  - {id: survey-1932, name: Survey 1932, after: [floats-fitted], before: [tail-post-mod]}
target: survey-1932
""",
    "zones.yaml": """\
zones:
  - {id: 100, name: Lower fuselage}
  - {id: 510, name: Port lower wing}
""",
    "people.yaml": """\
people:
  - {id: hanne-brekk, initials: HB, name: Hanne Brekk, role: lead}
  - {id: leif-moen, initials: LM, name: Leif Moen, role: workshop}
""",
}
"""The three files that every content folder has; a test's own text replaces them by name."""

_HEADING = re.compile(r"^== (\S.*) ==\n", re.M)


@pytest.fixture
def content(tmp_path: Path) -> Callable[..., Path]:
    """Writes a content folder from a text with `== path ==` headings, and gives its path.

    aircraft.yaml, zones.yaml and people.yaml are there even if the text has none; pass
    `bare=True` to write the text alone.
    """

    def write(text: str = "", bare: bool = False) -> Path:
        folder = tmp_path / "content"
        pieces = _HEADING.split(text)
        files = {} if bare else dict(MINIMAL)
        files.update(zip(pieces[1::2], pieces[2::2], strict=True))
        for path, body in files.items():
            file = folder / path
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_text(body, "utf-8", newline="")
        return folder

    return write


@pytest.fixture(scope="session", autouse=True)
def compared_once(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """One set of pictures is compared once in a run, whichever cache a test uses.

    What is compared and how is tested in tests/imaging, which asks for it directly.
    """
    shared = tmp_path_factory.mktemp("compared")
    real = pipeline.likenesses_among

    def once(pictures: Any, cache: Path | None = None, **more: Any) -> Any:
        sums = "\n".join(sorted(facts.sha256 for facts in pictures.values()))
        return real(pictures, shared / hashlib.sha256(sums.encode()).hexdigest(), **more)

    pipeline.likenesses_among = once
    yield
    pipeline.likenesses_among = real


@pytest.fixture(scope="session")
def demo_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's site for the crew, as it is built; what day it is: 25 November 2026."""
    from click.testing import CliRunner

    from archive.cli.main import main

    out = tmp_path_factory.mktemp("demo") / "crew"
    runner = CliRunner(env={"WITNESSMARK_CACHE": str(tmp_path_factory.mktemp("cache"))})
    content = Path(__file__).parents[1] / "content"
    built = runner.invoke(main, ["build", str(content), "--out", str(out), "--as-of", "2026-11-25"])
    assert built.exit_code == 0, built.output
    return out


@pytest.fixture(scope="session")
def demo_cache(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One cache for all that weigh the demo: its pictures are compared once in a run."""
    return tmp_path_factory.mktemp("demo-cache")


@pytest.fixture(scope="session")
def chromium() -> Iterator[object]:
    """Debian's Chromium, driven by Playwright; a test that needs it fails where it is missing."""
    from playwright.sync_api import sync_playwright

    path = shutil.which("chromium")
    if path is None:
        pytest.fail("Chromium is not here: python tests/ready.py installs it, or says how.")
    with sync_playwright() as started:
        browser = started.chromium.launch(executable_path=path, args=["--no-sandbox"])
        yield browser
        browser.close()
