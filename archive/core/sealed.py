"""What the program keeps for itself in a private folder, sealed so that nothing else is opened.

The seal is an HMAC with a key made for that folder: a file that this program didn't write there,
or that was damaged, is ignored, never opened. It covers a checksum of the program too: what another
version kept counts no more.
"""

from __future__ import annotations

import dataclasses
import hashlib
import hmac
import io
import os
import pickle
import secrets
import stat
import sys
from collections.abc import Callable
from functools import lru_cache
from operator import attrgetter
from pathlib import Path
from typing import Any

from archive.core.atomic import CannotWrite, write_file

_KEY = "records.key"
_SEAL = 32
_PLAIN = frozenset({("datetime", "date"), ("types", "MappingProxyType")})


@dataclasses.dataclass(frozen=True, slots=True)
class Sealed:
    """A file `name` for what the `stages` of the program (folders of the package) make."""

    name: str
    stages: tuple[str, ...]

    def fetch(self, folder: Path) -> Any:
        """What was kept in a cache folder; None where there is nothing, or any doubt about it."""
        try:
            key = _key(folder)
            sealed = (folder / self.name).read_bytes() if key else b""
        except OSError:
            return None
        seal, data = sealed[:_SEAL], memoryview(sealed)[_SEAL:]
        if not key or not hmac.compare_digest(seal, self._seal(key, data)):
            return None
        try:
            return _Unpickler(io.BytesIO(data), self.stages).load()
        except Exception:  # the seal is right, so this is an older or newer class: made anew
            return None

    def keep(self, folder: Path, value: Any) -> None:
        """Keeps a value. A folder that can't be written, or isn't private, keeps nothing."""
        try:
            folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            key = _key(folder, make=True)
            if key:
                data = io.BytesIO()
                _Pickler(data, pickle.HIGHEST_PROTOCOL).dump(value)
                whole = data.getvalue()
                write_file(folder / self.name, self._seal(key, whole) + whole, private=True)
        except (OSError, CannotWrite, pickle.PicklingError, RecursionError):
            return

    def _seal(self, key: bytes, data: bytes | memoryview) -> bytes:
        total = hmac.new(key, program(self.stages), "sha256")
        total.update(data)
        return total.digest()


@lru_cache
def program(stages: tuple[str, ...]) -> bytes:
    """A checksum of some stages of this program, of Python, and of what is installed beside it."""
    total = hashlib.sha256(sys.version.encode())
    for place in sys.path:
        # An installed distribution shows its name and version in the name of a folder.
        found = os.listdir(place) if os.path.isdir(place) else []
        total.update("\n".join(sorted(n for n in found if n.endswith(".dist-info"))).encode())
    root = Path(__file__).parent.parent
    for stage in stages:
        for file in sorted((root / stage).rglob("*.py")):
            total.update(file.relative_to(root).as_posix().encode() + b"\0" + file.read_bytes())
    return total.digest()


def _key(folder: Path, make: bool = False) -> bytes:
    """The folder's key, made if asked for; empty where the folder is open to others."""
    facts = folder.lstat()
    if os.name != "nt":
        private = facts.st_uid == os.geteuid() and not stat.S_IMODE(facts.st_mode) & 0o077
        if not (stat.S_ISDIR(facts.st_mode) and private):
            return b""
    try:
        key = (folder / _KEY).read_bytes()
    except FileNotFoundError:
        key = b""
    if len(key) != _SEAL and make:
        key = secrets.token_bytes(_SEAL)
        write_file(folder / _KEY, key, private=True)
    return key if len(key) == _SEAL else b""


class _Pickler(pickle.Pickler):
    """Writes the program's plain values as the call that makes them, which is read far quicker."""

    def reducer_override(self, value: Any) -> Any:
        cls: Any = type(value)
        fields = _fields(cls)
        return NotImplemented if fields is None else (cls, fields(value))


@lru_cache
def _fields(cls: Any) -> Callable[[Any], tuple[Any, ...]] | None:
    """What gives the fields of a frozen value of slots, in order; None for any other class."""
    if not dataclasses.is_dataclass(cls) or "__slots__" not in vars(cls):
        return None
    names = [field.name for field in dataclasses.fields(cls)]
    if len(names) == 1:
        return lambda value: (getattr(value, names[0]),)
    return attrgetter(*names) if names else lambda value: ()


class _Unpickler(pickle.Unpickler):
    """Makes nothing but the plain values of the stages that wrote the file: a second lock."""

    def __init__(self, file: io.BytesIO, stages: tuple[str, ...]) -> None:
        super().__init__(file)
        self._ours = tuple(f"archive.{stage}." for stage in stages)

    def find_class(self, module: str, name: str) -> Any:
        if (module.startswith(self._ours) and "." not in name) or (module, name) in _PLAIN:
            return super().find_class(module, name)
        raise pickle.UnpicklingError(f"{module}.{name} is no value of ours")
