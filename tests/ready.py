"""Makes this machine ready for the browser tests, or says the one line that does.

The tests drive Debian's Chromium. As root on Debian it is installed; elsewhere this ends with the
line to run, because a test that silently skips is worse than one that fails.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys

NAMES = ("chromium",)
LINE = "apt-get update && apt-get install -y chromium"


def browser() -> str | None:
    """The path of a Chromium that is installed."""
    return next((path for name in NAMES if (path := shutil.which(name))), None)


def main() -> int:
    """Install Chromium where that is allowed; 0 once it is there."""
    if browser():
        return 0
    root_on_debian = hasattr(os, "geteuid") and os.geteuid() == 0 and bool(shutil.which("apt-get"))
    if root_on_debian:
        done = subprocess.run(
            LINE, shell=True, env={**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
        )
        if done.returncode == 0 and browser():
            return 0
    print(
        "The browser tests need Chromium, which is not here. Install it, for example with:\n"
        f"    sudo sh -c '{LINE}'\n"
        "and run the command again.",
        file=sys.stderr,
    )
    return 1


if __name__ == "__main__":
    sys.exit(main())
