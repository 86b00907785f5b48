"""Makes this machine ready for the tests, or says the one line that does.

The tests drive Debian's Chromium, have exiftool write into pictures what the program then has to
read, have poppler draw the papers that it sets, and measure photographs of a calibration board. As
root on Debian all are fetched; elsewhere this ends with what to do, because a test that silently
skips is worse than one that fails.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent / "kits"))

import boards

NEEDED = {
    "chromium": "chromium",
    "exiftool": "libimage-exiftool-perl",
    "pdftoppm": "poppler-utils",
}
"""Command → Debian package."""


def missing() -> list[str]:
    """The packages whose command isn't here."""
    return [package for name, package in NEEDED.items() if shutil.which(name) is None]


def main() -> int:
    """Install and fetch what is missing where that is allowed; 0 once it is there."""
    return max(installed(), photographs())


def photographs() -> int:
    """Fetch the photographs of the board: apt loads the package without being root."""
    if not boards.missing() or (shutil.which("apt-get") and boards.fetch()):
        return 0
    print(
        f"The tests need photographs out of Debian's package {boards.PACKAGE}. Load it from a "
        f"Debian mirror, and put its {boards.INSIDE}/left*.jpg, right*.jpg and left_intrinsics.yml "
        f"into {boards.FOLDER}.",
        file=sys.stderr,
    )
    return 1


def installed() -> int:
    """Install the packages that are missing, as root on Debian."""
    if not missing():
        return 0
    line = f"apt-get update && apt-get install -y {' '.join(missing())}"
    root_on_debian = hasattr(os, "geteuid") and os.geteuid() == 0 and bool(shutil.which("apt-get"))
    if root_on_debian:
        done = subprocess.run(
            line, shell=True, env={**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
        )
        if done.returncode == 0 and not missing():
            return 0
    print(
        "The tests need what is not here. Install it, for example with:\n"
        f"    sudo sh -c '{line}'\n"
        "and run the command again.",
        file=sys.stderr,
    )
    return 1


if __name__ == "__main__":
    sys.exit(main())
