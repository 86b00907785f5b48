"""Whether a folder may be replaced by a site: only one that this program made, or an empty one.

A mistyped `--out` must cost nothing. Whatever the folder's name, it is left alone if one file in
it is not on its own list of what a build put there.
"""

from __future__ import annotations

import os
from pathlib import Path

from archive.publish.manifest import MANIFEST, Manifest, foreign, read_manifest, walk
from archive.publish.refusal import Refused

_ELSEWHERE = (
    "Name another folder with --out, one that is new or empty; if this one is an old site,"
    " move your own files out of it, or delete it yourself."
)


def check_place(out: Path, content: Path) -> Path:
    """The full path of `out`, its parent resolved; changes nothing on the disk.

    Raises `Refused` if the place itself rules a site out: a link, a mount point, "/", the home or
    working folder or one around them, the content folder, one around it, or one inside it.
    """
    if out.is_symlink():
        raise _refuse(out, "it is a link, and what it points to might be anybody's")
    try:
        place = out.parent.resolve() / out.name if out.name not in ("", "..") else out.resolve()
    except (OSError, RuntimeError) as error:
        raise _refuse(out, "its path leads in a circle") from error
    if place == Path(place.anchor):
        raise _refuse(out, "it is the whole disk")
    if os.path.ismount(place):
        raise _refuse(out, "a disk is mounted there")
    content = content.resolve()
    if _same(place, content):
        raise _refuse(out, "it is the content folder")
    if _around(place, content):
        raise _refuse(out, "the content folder lies in it")
    if _around(content, place):
        raise _refuse(out, "it lies inside the content folder")
    for folder, name in ((_home(), "home folder"), (Path.cwd(), "folder you are working in")):
        if folder is not None and (_same(place, folder) or _around(place, folder)):
            raise _refuse(out, f"it is, or holds, the {name}")
    for folder in place.parents:
        if folder.exists():
            if not folder.is_dir():
                raise _refuse(out, f"{folder} is a file")
            break
    return place


def check_ours(place: Path) -> Manifest:
    """The list of the site that stands at `place`; an empty one if nothing or nobody stands there.

    Raises `Refused` if there is anything that an earlier build did not put there.
    """
    if not place.exists():
        return Manifest()
    if not place.is_dir():
        raise _refuse(place, "it is a file")
    manifest = read_manifest(place)
    if manifest is None:
        if not any(True for _ in walk(place)):
            return Manifest()
        odd = os.path.lexists(place / MANIFEST)
        why = f"its {MANIFEST} is damaged or of another format" if odd else f"it has no {MANIFEST}"
        raise _refuse(place, f"nothing shows that this program made it ({why})")
    stranger = foreign(place, manifest)
    if stranger:
        raise _refuse(place, f"it holds a file that no build put there, {stranger}")
    return manifest


def _refuse(out: Path, why: str) -> Refused:
    return Refused("output-not-ours", f"{out} is not replaced by a site: {why}.", _ELSEWHERE)


def _home() -> Path | None:
    try:
        return Path.home().resolve()
    except (OSError, RuntimeError):
        return None


def _same(one: Path, other: Path) -> bool:
    """Whether two paths are one folder, on disks that ignore capitals too."""
    try:
        return one == other or os.path.samefile(one, other)
    except OSError:
        return False


def _around(outer: Path, inner: Path) -> bool:
    return any(_same(outer, folder) for folder in inner.parents)
