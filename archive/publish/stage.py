"""A site in the making: its files gather beside the output folder until all are there.

    with Stage(out, content) as stage:
        stage.write("index.html", page)
        stage.link("pictures/slipway-1932-960.jpg", cached)
        stage.keep("parts/axle.html")              # as the last build wrote it
        made = stage.finish()                     # the site is in its place, the old one gone

Leaving the block without `finish`, by an exception or Ctrl-C, leaves the old site as it was.
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import os
import shutil
import stat
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType

from archive.core.atomic import CannotWrite, flush_folder, write_bytes
from archive.publish import names, switch
from archive.publish.lock import locked
from archive.publish.manifest import MANIFEST, Entry, Manifest, foreign, walk
from archive.publish.refusal import Refused
from archive.publish.target import check_ours, check_place

#: What a disk answers when it has no hard links, or none from there to here: then a copy serves.
_NO_LINK = (errno.EXDEV, errno.EPERM, errno.EMLINK, errno.ENOTSUP, errno.ENOSYS, errno.EACCES)


@dataclass(frozen=True, slots=True)
class Written:
    """One file of a stage: its path in the site, SHA-256, size in bytes, time of writing."""

    path: str
    sha256: str
    size: int
    mtime_ns: int


@dataclass(frozen=True, slots=True)
class Made:
    """A site in its place: its list, and each file as it lies on the disk, `site.json` too."""

    out: Path
    manifest: Manifest
    files: tuple[Written, ...]


@dataclass(frozen=True, slots=True)
class Writer:
    """Writes pages into a stage from any process: a plain value that a worker can be handed.

    What it returns must be handed to `Stage.record`, or the page is not part of the site.
    """

    site: Path
    out: Path

    def write(self, path: str, data: bytes) -> Written:
        """Write one new file. Raises `Refused` for its name, `CannotWrite` from the disk."""
        names.check(path)
        try:
            return _put(self.site, path, data)
        except OSError as error:
            raise CannotWrite.because(self.out / path, error, len(data)) from error


class Stage:
    """The staging of one site for the output folder `out`; see the module's first lines.

    Entering refuses a folder that is not ours to replace, takes the lock, and clears what a killed
    build left. `previous` is then the list of the site that stands there (empty if none does), and
    `writer` a plain value for worker processes. Every method raises `Refused` or `CannotWrite`;
    with either, `out` is as it was.
    """

    writer: Writer

    def __init__(self, out: Path, content: Path) -> None:
        self.previous = Manifest()
        self._asked = out
        self._content = content
        self._out = out
        self._names = names.Names()
        self._files: dict[str, Written] = {}
        self._unflushed: list[str] = []
        self._bytes = 0
        self._bytes_before = 0
        self._closing = contextlib.ExitStack()

    def __enter__(self) -> Stage:
        self._out = out = check_place(self._asked, self._content)
        with contextlib.ExitStack() as closing, _telling(out):
            # Somebody's own folder is refused before even a lock is laid beside it. One of our own
            # is looked through under the lock: another build may be switching it just now.
            if not os.path.lexists(out / MANIFEST):
                check_ours(out)
            _make_folder(out.parent)
            closing.enter_context(locked(out))
            closing.callback(self._clear_quietly)
            switch.clear(out)
            self.previous = check_ours(out)
            self._bytes_before = sum(entry.size for entry in self.previous.files.values())
            with _telling(out, self._bytes_before):
                self.writer = Writer(switch.open_stage(out), out)
            self._names.claim(MANIFEST)
            self._closing = closing.pop_all()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._closing.close()

    def write(self, path: str, data: bytes) -> None:
        """Put a new file with the bytes `data` into the site."""
        self._names.claim(path)
        with _telling(self._out / path, self._needs(len(data))):
            self._add(_put(self.writer.site, path, data))

    def record(self, written: Iterable[Written]) -> None:
        """Take into the site what workers wrote with `writer`."""
        for one in written:
            self._names.claim(one.path)
            self._add(one)

    def link(self, path: str, source: Path, sha256: str = "") -> None:
        """Put the file `source` into the site: a hard link, or a copy where the disk has none.

        `sha256` spares the reading of a file whose sum is known. A link is the same file twice:
        whoever edits the site's in place changes the source as well.
        """
        self._names.claim(path)
        with _telling(self._out / path, self._needs(0)):
            self._add(self._take(path, source, sha256))

    def keep(self, path: str) -> None:
        """Put a file of the previous site into this one unchanged.

        Raises KeyError if the previous site's list does not name it; whether it is still the file
        that was written is for `PageMemory.fresh` to say, before.
        """
        earlier = self.previous.files[path]
        self._names.claim(path)
        with _telling(self._out / path, self._needs(earlier.size)):
            self._add(self._take(path, self._out / path, earlier.sha256), flushed=True)

    def adopt(self, folder: str) -> None:
        """Take into the site every file that another stage has put below `writer.site / folder`.

        A file that is one with the previous site's (a hard link to one picture in a cache) takes
        that one's sum; any other is read.
        """
        with _telling(self._out / folder, self._needs(0)):
            placed = [
                (f"{folder}/{path}", entry) for path, entry in walk(self.writer.site / folder)
            ]
            for path, entry in sorted(placed, key=lambda pair: pair[0]):
                self._names.claim(path)
                facts = entry.stat(follow_symlinks=False)
                if not stat.S_ISREG(facts.st_mode):
                    raise OSError(errno.EINVAL, "a link lies among the pictures", path)
                total = self._sum_of_placed(path, facts)
                self._add(Written(path, total, facts.st_size, facts.st_mtime_ns))

    def finish(self) -> Made:
        """Write the list, put the site in its place, remove the old one; durable on return."""
        entries = {one.path: Entry(one.sha256, one.size) for one in self._files.values()}
        manifest = Manifest(entries)
        with _telling(self._out, self._needs(0)):
            self._add(_put(self.writer.site, MANIFEST, manifest.as_bytes()))
            # Once more, for what somebody put there while the pages were made.
            stranger = foreign(self._out, self.previous) if self._out.exists() else ""
        if stranger:
            raise Refused(
                "output-not-ours",
                f"{self._out} is not replaced: {stranger} was put there during the build.",
                "Move it out of the site, and run the command again.",
            )
        switch.switch(self._out, self._unflushed)
        self._clear_quietly()
        return Made(self._out, manifest, tuple(self._files.values()))

    def _add(self, written: Written, *, flushed: bool = False) -> None:
        self._files[written.path] = written
        self._bytes += written.size
        if not flushed:
            self._unflushed.append(written.path)

    def _needs(self, more_bytes: int) -> int:
        """A lower bound of the bytes that the whole site wants, for the sentence on a full disk."""
        return max(self._bytes + more_bytes, self._bytes_before)

    def _take(self, path: str, source: Path, sha256: str) -> Written:
        target = self.writer.site / path
        if not stat.S_ISREG(os.lstat(source).st_mode):
            raise OSError(errno.EINVAL, "what should be a file is something else", str(source))
        _link_or_copy(source, self.writer.site, path)
        facts = os.lstat(target)
        return Written(path, sha256 or _sum(target), facts.st_size, facts.st_mtime_ns)

    def _sum_of_placed(self, path: str, facts: os.stat_result) -> str:
        """The sum of a file placed by another; spared where the previous site has the same file."""
        earlier = self.previous.files.get(path)
        if earlier is not None and earlier.size == facts.st_size:
            with contextlib.suppress(OSError):
                if os.path.samestat(facts, os.lstat(self._out / path)):
                    return earlier.sha256
        return _sum(self.writer.site / path)

    def _clear_quietly(self) -> None:
        # What can't be removed now is removed by the next build; the site itself is not touched.
        with contextlib.suppress(OSError, Refused):
            switch.clear(self._out)


@contextlib.contextmanager
def _telling(path: Path, needs_bytes: int = 0) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise CannotWrite.because(path, error, needs_bytes) from error


def _make_folder(folder: Path) -> None:
    """Make a folder and those above it, each durable."""
    if not folder.is_dir():
        _make_folder(folder.parent)
        folder.mkdir(exist_ok=True)
        flush_folder(folder.parent)


def _put(site: Path, path: str, data: bytes) -> Written:
    place = f"{site}/{path}"
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    try:
        handle = os.open(place, flags, 0o666)
    except FileNotFoundError:
        _make_way(site, path)
        handle = os.open(place, flags, 0o666)
    try:
        write_bytes(handle, data)
        facts = os.fstat(handle)
    finally:
        os.close(handle)
    return Written(path, hashlib.sha256(data).hexdigest(), len(data), facts.st_mtime_ns)


def _sum(file: Path) -> str:
    with file.open("rb") as opened:
        return hashlib.file_digest(opened, "sha256").hexdigest()


def _make_way(site: Path, path: str) -> None:
    """Make the folders of `path`, but never the site's own: a worker may outlive the stage."""
    folder = os.fspath(site)
    for name in path.split("/")[:-1]:
        folder = f"{folder}/{name}"
        with contextlib.suppress(FileExistsError):
            os.mkdir(folder)


def _link_or_copy(source: Path, site: Path, path: str) -> None:
    target = site / path
    try:
        try:
            os.link(source, target)
        except FileNotFoundError:
            _make_way(site, path)
            os.link(source, target)
    except OSError as error:
        if error.errno not in _NO_LINK:
            raise
        _make_way(site, path)
        shutil.copyfile(source, target)
