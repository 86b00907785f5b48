"""Makes this machine ready for the tests, or says the one line that does.

The tests drive Debian's Chromium, have exiftool write into pictures what the program then has to
read, and have poppler draw the papers that it sets. As root on Debian all are installed; elsewhere
this ends with the line to run, because a test that silently skips is worse than one that fails.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys

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
    """Install what is missing where that is allowed; 0 once it is there."""
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
