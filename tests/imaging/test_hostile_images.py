"""Files that are damaged or made to do harm: each one named refusal, and the others still done."""

from __future__ import annotations

import io
import shutil
import struct
import subprocess
import sys
import time
import zlib
from pathlib import Path

import piexif
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from archive.core.images import ImageFacts
from archive.core.messages import MESSAGES
from archive.imaging.catalogue import facts_of
from archive.imaging.decode import decode, open_picture
from archive.imaging.limits import Limits
from archive.imaging.refusals import ImageRefused, Refused


def picture(format: str = "JPEG", size: tuple[int, int] = (40, 30), **options: object) -> bytes:
    buffer = io.BytesIO()
    Image.linear_gradient("L").resize(size).convert("RGB").save(buffer, format, **options)
    return buffer.getvalue()


def bomb(width: int, height: int) -> bytes:
    """A PNG of one tone, whose pixels are packed about a thousand to one."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        return (
            struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
        )

    packer = zlib.compressobj(9)
    row = bytes(width + 1)
    pixels = b"".join(packer.compress(row) for _ in range(height)) + packer.flush()
    head = struct.pack(">2I5B", width, height, 8, 0, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", pixels) + chunk(b"IEND", b"")
    )


def png_that_claims(width: int, height: int) -> bytes:
    data = bytearray(picture("PNG"))
    struct.pack_into(">2I", data, 16, width, height)
    struct.pack_into(">I", data, 29, zlib.crc32(data[12:29]))
    return bytes(data)


def bad_exif() -> bytes:
    """A JPEG whose Exif directory claims a thousand entries and ends after the first bytes."""
    return picture("JPEG", exif=b"Exif\0\0MM\0*\0\0\0\x08\x03\xe8\x01\x0f")


def camera_raw() -> bytes:
    return picture("TIFF", tiffinfo={254: 1})


HOSTILE = {
    "bomb.png": (bomb(13_000, 13_000), "image-swells"),
    "wide.png": (png_that_claims(20_000, 20_000), "image-too-many-pixels"),
    "widest.png": (png_that_claims(2**31 - 1, 2**31 - 1), "image-too-many-pixels"),
    "text.jpg": (b"Dear Sir, the drawings were burnt.\n" * 40, "image-not-a-picture"),
    "page.png": (b"<html><body>404</body></html>", "image-not-a-picture"),
    "drawing.jpg": (b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\n", "image-format-refused"),
    "dos.jpg": (b"\xc5\xd0\xd3\xc6" + bytes(60), "image-format-refused"),
    "paper.jpg": (b"%PDF-1.7\n", "image-format-refused"),
    "lines.png": (b"<?xml version='1.0'?><svg/>", "image-format-refused"),
    "moving.jpg": (picture("GIF"), "image-format-refused"),
    "phone.jpg": (b"\0\0\0\x18ftypheic" + bytes(40), "image-format-refused"),
    "raw.tif": (camera_raw(), "image-format-refused"),
    "empty.jpg": (b"", "image-empty"),
    "stub.jpg": (picture()[:30], "image-damaged"),
    "stub.png": (picture("PNG")[:20], "image-damaged"),
    "stub.tif": (picture("TIFF")[:10], "image-damaged"),
    "stub.webp": (picture("WEBP")[:20], "image-damaged"),
    "exif.jpg": (bad_exif(), "image-exif-damaged"),
}


def test_each_is_one_named_refusal_and_the_sound_ones_are_read(tmp_path: Path) -> None:
    expected: dict[Path, str] = {}
    for name, (data, code) in HOSTILE.items():
        (tmp_path / name).write_bytes(data)
        expected[tmp_path / name] = code
        (tmp_path / f"sound-{name}").write_bytes(picture())
        expected[tmp_path / f"sound-{name}"] = ""
    (tmp_path / "folder.jpg").mkdir()
    expected[tmp_path / "folder.jpg"] = "image-not-a-file"
    expected[tmp_path / "nowhere.jpg"] = "image-missing"
    found = facts_of(expected)
    assert list(found) == list(expected)
    for path, code in expected.items():
        answer = found[path]
        assert (answer.code if isinstance(answer, ImageRefused) else "") == code, path.name
        if isinstance(answer, ImageRefused):
            assert answer.hint == MESSAGES[code].mend and answer.says.endswith(".")
            assert str(tmp_path) not in answer.says


@pytest.mark.skipif(sys.platform == "win32", reason="no pipes in the file system there")
def test_a_pipe_is_refused_without_waiting(tmp_path: Path) -> None:
    import os

    os.mkfifo(tmp_path / "pipe.jpg")
    found = facts_of([tmp_path / "pipe.jpg"])[tmp_path / "pipe.jpg"]
    assert isinstance(found, ImageRefused) and found.code == "image-not-a-file"


def test_a_bomb_is_refused_quickly_and_in_little_memory(tmp_path: Path) -> None:
    """At most 0.5 s of processor time and 150 MB, the child's start included."""
    resource = pytest.importorskip("resource")
    path = tmp_path / "bomb.png"
    path.write_bytes(HOSTILE["bomb.png"][0])
    script = (
        "import sys; from pathlib import Path; from archive.imaging.catalogue import facts_of\n"
        "print(facts_of([Path(sys.argv[1])], workers=1)[Path(sys.argv[1])].code)"
    )
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    told = subprocess.run(
        [sys.executable, "-c", script, str(path)], capture_output=True, text=True, check=True
    )
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    assert told.stdout == "image-swells\n"
    assert after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime < 0.5
    if after.ru_maxrss > before.ru_maxrss:  # the largest child so far: in kB on Linux
        assert after.ru_maxrss < 150_000 * (1024 if sys.platform == "darwin" else 1)


def test_a_named_file_may_have_more_pixels_than_the_others(tmp_path: Path) -> None:
    for name in ("scan.png", "other.png"):
        (tmp_path / name).write_bytes(png_that_claims(20_000, 20_000))
    scan, other = tmp_path / "scan.png", tmp_path / "other.png"
    cache = tmp_path / "facts"
    found = facts_of([scan, other], cache, allowed_pixels={scan: 500_000_000})
    assert isinstance(found[scan], ImageFacts)
    assert isinstance(found[other], ImageRefused)
    for path in (scan, other):
        path.write_bytes(png_that_claims(30_000, 30_000))
        again = facts_of([path], allowed_pixels={path: 10**12})[path]
        assert isinstance(again, ImageRefused) and again.code == "image-too-many-pixels"


def test_exif_that_breaks_off_after_the_orientation_is_no_trouble() -> None:
    whole = piexif.dump({"0th": {274: 6, 315: b"A. Nobody"}, "Exif": {37510: b"x" * 500}})
    for length in range(40, len(whole), 60):
        data = picture("JPEG", exif=whole[:length])
        assert open_picture(io.BytesIO(data), len(data), Limits()).orientation == 6


@pytest.mark.parametrize("format", ["JPEG", "PNG", "TIFF", "WEBP"])
def test_a_file_cut_short_anywhere_is_refused_or_whole(format: str) -> None:
    data = picture(format, (64, 48))
    for keep in range(0, len(data) - 40, max(1, len(data) // 60)):
        with pytest.raises(Refused) as told:
            decode(open_picture(io.BytesIO(data[:keep]), keep, Limits()))
        assert told.value.refusal.code in ("image-empty", "image-damaged", "image-not-a-picture")


SEEDS = [
    picture("JPEG", exif=piexif.dump({"0th": {274: 3}})),
    picture("PNG", exif=piexif.dump({"0th": {274: 3}})),
    picture("TIFF"),
    picture("TIFF", compression="tiff_lzw"),
    picture("WEBP"),
]


@settings(max_examples=300, deadline=None)
@given(
    st.sampled_from(SEEDS),
    st.lists(
        st.tuples(st.floats(0, 1, exclude_max=True), st.binary(min_size=1, max_size=4)), max_size=6
    ),
)
def test_changed_bytes_give_a_picture_or_a_refusal(
    seed: bytes, edits: list[tuple[float, bytes]]
) -> None:
    data = bytearray(seed)
    for at, new in edits:
        start = int(at * len(data))
        data[start : start + len(new)] = new
    limits = Limits(pixels=1_000_000)
    try:
        picture = decode(open_picture(io.BytesIO(bytes(data)), len(data), limits))
    except Refused as error:
        assert error.refusal.code in MESSAGES
    else:
        assert picture.mode in ("L", "RGB") and picture.info == {}


@pytest.mark.skipif(not shutil.which("strace"), reason="strace isn't installed")
def test_no_other_program_is_started_for_postscript(tmp_path: Path) -> None:
    for name in ("drawing.jpg", "drawing.eps"):
        (tmp_path / name).write_bytes(HOSTILE["drawing.jpg"][0])
    script = (
        "import sys; from pathlib import Path; from archive.imaging.catalogue import facts_of\n"
        "print([r.code for r in facts_of(map(Path, sys.argv[1:]), workers=1).values()])"
    )
    trace = tmp_path / "trace"
    command = ["strace", "-f", "-qq", "-o", str(trace), "-e", "trace=execve", sys.executable]
    command += ["-c", script, str(tmp_path / "drawing.jpg"), str(tmp_path / "drawing.eps")]
    told = subprocess.run(command, capture_output=True, text=True, timeout=120)
    if told.returncode and "ptrace" in told.stderr:
        pytest.skip("tracing isn't permitted here")
    assert told.stdout.strip() == str(["image-format-refused"] * 2)
    started = [line for line in trace.read_text().splitlines() if " = 0" in line]
    assert len(started) == 2  # this interpreter, and one child that reads images
    assert all(Path(sys.executable).name in line for line in started)


def test_originals_are_never_written(tmp_path: Path) -> None:
    for name, (data, _) in HOSTILE.items():
        (tmp_path / name).write_bytes(data)
    before = {path: (path.read_bytes(), path.stat().st_mtime_ns) for path in tmp_path.iterdir()}
    time.sleep(0.02)
    facts_of(before)
    after = {path: (path.read_bytes(), path.stat().st_mtime_ns) for path in tmp_path.iterdir()}
    assert before == after
