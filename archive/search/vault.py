"""A private folder that only this program writes, known again by a seal kept beside it.

The index library keeps pickles, and whoever writes a pickle runs code where it is read. So
nothing here is opened unless every byte of it matches a seal made with a key of this user's own.
Any doubt ends in None, and the caller builds anew.
"""

from __future__ import annotations

import hashlib
import hmac
import json
import os
import secrets
import shutil
import tempfile
import time
from pathlib import Path

_STALE = 24 * 60 * 60
"""Seconds after which a draft that nobody kept is litter: its writer was stopped."""


def _age(folder: Path) -> float:
    try:
        return time.time() - folder.stat().st_mtime
    except OSError:
        return 0.0


class Vault:
    """Keeps one generation of a folder called `name` in the cache folder `cache`.

    A new generation is written as a draft beside the old one and then switched to in one step, so
    a crash, or a second program at the same time, never leaves half of one.
    """

    def __init__(self, cache: Path, name: str) -> None:
        self._room = cache
        self._name = name
        self._seal = cache / f"{name}.seal"
        cache.mkdir(mode=0o700, parents=True, exist_ok=True)

    def _named(self) -> Path | None:
        """The folder that the seal speaks of, whether or not it can be trusted."""
        try:
            seal = json.loads(self._seal.read_text("ascii"))
            return self._room / Path(str(seal["folder"])).name
        except (OSError, ValueError, KeyError, TypeError):
            return None

    def intact(self) -> Path | None:
        """The folder kept last, if it is to the last byte what this program wrote."""
        folder = self._named()
        try:
            seal = json.loads(self._seal.read_text("ascii"))
            good = folder and hmac.compare_digest(str(seal["mac"]), self._mac(folder))
        except (OSError, ValueError, KeyError, TypeError):
            return None
        return folder if good else None

    def draft(self, start: Path | None = None) -> Path:
        """A fresh folder to write in, empty or with the files of `start`."""
        folder = Path(tempfile.mkdtemp(prefix=f"{self._name}-", dir=self._room))
        for file in start.iterdir() if start else ():
            shutil.copyfile(file, folder / file.name)
        return folder

    def keep(self, folder: Path) -> None:
        """Seal the draft, make it the one that `intact` gives, and remove its forerunners."""
        former = self._named()
        seal = json.dumps({"folder": folder.name, "mac": self._mac(folder)}) + "\n"
        handle, temporary = tempfile.mkstemp(prefix=f"{self._name}-", dir=self._room)
        with os.fdopen(handle, "w", encoding="ascii") as file:
            file.write(seal)
        os.replace(temporary, self._seal)
        for old in self._room.glob(f"{self._name}-*"):
            if old == former or (old != folder and _age(old) > _STALE):
                shutil.rmtree(old, ignore_errors=True)

    def discard(self, folder: Path) -> None:
        """Remove a draft that isn't to be kept."""
        shutil.rmtree(folder, ignore_errors=True)

    def _mac(self, folder: Path) -> str:
        """The seal's own figure: over the folder's name, and each file's name, size and content."""
        whole = hmac.new(self._key(), folder.name.encode(), "sha256")
        for file in sorted(folder.iterdir()):
            if file.is_symlink() or not file.is_file():
                raise ValueError(f"{file.name} is not a plain file")
            with file.open("rb") as opened:
                content = hashlib.file_digest(opened, "sha256").hexdigest()
            whole.update(f"\n{file.name}\n{content}".encode())
        return whole.hexdigest()

    def _key(self) -> bytes:
        """This user's key for this cache; made at first use, and anew where it can't be trusted."""
        path = self._room / "key"
        try:
            held = path.read_bytes()
            private = os.name != "posix" or not path.stat().st_mode & 0o077
            if len(held) == 32 and private:
                return held
        except OSError:
            pass
        handle, temporary = tempfile.mkstemp(prefix="key-", dir=self._room)
        with os.fdopen(handle, "wb") as file:
            file.write(secrets.token_bytes(32))
        os.replace(temporary, path)
        return path.read_bytes()
