"""Where the program may keep what it can work out again: the user's cache folder, never content/.

Everything in it may be deleted at any time; nothing in it is evidence. It is private to the user,
because a remembered page or index that others can write to is a way into the next site.
"""

from __future__ import annotations

import hashlib
import os
import re
import stat
import sys
from pathlib import Path

from archive.core.atomic import CannotWrite

#: Names the cache folder outright, before any custom of the system.
ENVIRONMENT = "WITNESSMARK_CACHE"


def cache_root() -> Path:
    """The folder for all content folders: `WITNESSMARK_CACHE`, or the system's usual place.

    The places: XDG Base Directory Specification (`$XDG_CACHE_HOME` if absolute, else `~/.cache`);
    `~/Library/Caches` on macOS; `%LOCALAPPDATA%` on Windows (the last two common practice).
    """
    named = os.environ.get(ENVIRONMENT)
    if named:
        return Path(named).absolute()
    home = Path.home()
    if sys.platform == "win32":
        base = Path(os.environ.get("LOCALAPPDATA") or home / "AppData" / "Local")
    elif sys.platform == "darwin":
        base = home / "Library" / "Caches"
    else:
        xdg = os.environ.get("XDG_CACHE_HOME", "")
        base = Path(xdg) if os.path.isabs(xdg) else home / ".cache"
    return base / "witnessmark"


def cache_dir(content: Path) -> Path:
    """The private cache folder of one content folder, made if need be.

    Raises `CannotWrite` if it can't be made, would lie inside the content folder, or belongs to
    somebody else: the caller may go on without a cache.
    """
    content = content.resolve()
    root = cache_root().resolve()
    name = re.sub(r"[^A-Za-z0-9-]+", "-", content.name).strip("-")[:40] or "content"
    folder = root / f"{name}-{hashlib.sha256(os.fsencode(content)).hexdigest()[:16]}"
    if folder.is_relative_to(content):
        says = f"{folder} can't be the cache: it lies inside the content folder."
        raise CannotWrite(folder, says, f"Set {ENVIRONMENT} to a folder elsewhere.")
    try:
        root.mkdir(parents=True, exist_ok=True)
        folder.mkdir(mode=0o700, exist_ok=True)
        _keep_private(folder)
    except OSError as error:
        raise CannotWrite.because(folder, error) from error
    return folder


def _keep_private(folder: Path) -> None:
    facts = folder.lstat()
    mine = os.name == "nt" or facts.st_uid == os.geteuid()
    if not (mine and stat.S_ISDIR(facts.st_mode)):
        says = f"{folder} can't be the cache: it is a link, or belongs to another user."
        raise CannotWrite(folder, says, f"Set {ENVIRONMENT} to a folder of your own.")
    if os.name != "nt" and stat.S_IMODE(facts.st_mode) != 0o700:
        folder.chmod(0o700)
