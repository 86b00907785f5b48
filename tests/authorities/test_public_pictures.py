"""What a public picture carries, as ExifTool reads it: the tags of the allow-list, and no other.

ExifTool (Debian's libimage-exiftool-perl) is a reader of its own; its names of tags are its own.
"""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path

import pytest
from canaries import Words, picture
from PIL import Image, PngImagePlugin

from archive.imaging.catalogue import facts_of
from archive.pictures.make import make_pictures
from archive.pictures.orders import PictureOrder

ALLOWED = {
    "IFD0:Copyright", "IFD0:ImageDescription",
    "XMP-photoshop:Credit", "XMP-dc:Rights", "XMP-dc:Source", "XMP-xmpRights:WebStatement",
}  # fmt: skip
"""What we write."""

FORMAL = {
    "JFIF:JFIFVersion", "JFIF:ResolutionUnit", "JFIF:XResolution", "JFIF:YResolution",
    "File:ExifByteOrder",
}  # fmt: skip
"""What the file formats themselves need."""

TOLD = {
    "credit": "Hollin Water Museum, å",
    "rights": "Hollin Water Museum, å",
    "source": "The Hollin Survey, photograph, 2 July 1932",
    "statement": "http://rightsstatements.org/vocab/InC/1.0/",
}


def tags(folder: Path) -> list[dict[str, str]]:
    """Every tag of each file in a folder, by group and name, those of the disk apart."""
    if shutil.which("exiftool") is None:
        pytest.fail("ExifTool is not here: python tests/ready.py installs it, or says how.")
    done = subprocess.run(
        ["exiftool", "-json", "-G1", "-a", "-u", "-U", "-ee", "-charset", "exif=utf8", folder],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    computed = ("SourceFile", "ExifTool:", "System:", "Composite:")
    sizes = ("File:FileType", "File:MIMEType", "File:Image", "File:BitsPer", "File:Color",
             "File:YCbCr", "File:EncodingProcess")  # fmt: skip
    return [
        {name: value for name, value in one.items() if not name.startswith((*computed, *sizes))}
        for one in json.loads(done.stdout)
    ]


def laden(folder: Path, count: int) -> list[Path]:
    """Pictures of four formats with everything in them that has no business in a public one."""
    words = Words(9)
    found = []
    for number in range(count):
        path = folder / f"p{number}.jpg"
        picture(path, words, "p", number)
        if number % 4:
            with Image.open(path) as image:
                image.load()
                exif = image.info["exif"]
                path.unlink()
                ending = ("", "png", "tif", "webp")[number % 4]
                path = folder / f"p{number}.{ending}"
                if ending == "png":
                    info = PngImagePlugin.PngInfo()
                    info.add_text("Author", "A secret")
                    image.save(path, pnginfo=info, exif=exif, icc_profile=b"secret" * 30)
                elif ending == "tif":
                    image.save(path, tiffinfo={270: "secret", 315: "secret", 700: b"secret"})
                else:
                    image.save(path, exif=exif, xmp=b"secret", quality=80)
        found.append(path)
    return found


def reduced(tmp_path: Path, count: int, metadata: dict[str, str] | None) -> list[dict[str, str]]:
    (tmp_path / "in").mkdir()
    paths = laden(tmp_path / "in", count)
    facts = facts_of(paths)
    orders = [
        PictureOrder(path, facts[path], f"p{n}", (320,), tiles=False, metadata=metadata)
        for n, path in enumerate(paths)
    ]
    made, refusals = make_pictures(orders, tmp_path / "out", tmp_path / "cache")
    assert len(made) == count and not refusals
    return tags(tmp_path / "out" / "pictures")


def test_only_the_allow_list_is_in_a_public_picture(tmp_path):
    found = reduced(tmp_path, 12, TOLD)
    assert len(found) == 12
    for one in found:
        assert set(one) - FORMAL == ALLOWED | {"XMP-x:XMPToolkit"} & set(one)
        assert one["IFD0:Copyright"] == one["XMP-photoshop:Credit"] == TOLD["credit"]
        assert one["IFD0:ImageDescription"] == one["XMP-dc:Source"] == TOLD["source"]
        assert one["XMP-xmpRights:WebStatement"] == TOLD["statement"]


def test_nothing_told_is_nothing_carried(tmp_path):
    for one in reduced(tmp_path, 4, None):
        assert set(one) <= FORMAL


@pytest.mark.full
def test_only_the_allow_list_is_in_six_hundred_public_pictures(tmp_path):
    found = reduced(tmp_path, 600, TOLD)
    assert len(found) == 600
    assert {name for one in found for name in one} - FORMAL <= ALLOWED | {"XMP-x:XMPToolkit"}


def test_the_reader_does_find_what_others_leave_in(tmp_path):
    """The check can fail: a picture saved the usual way keeps what we drop."""
    (tmp_path / "in").mkdir()
    (path,) = laden(tmp_path / "in", 1)
    (tmp_path / "out").mkdir()
    with Image.open(path) as image:
        image.resize((90, 60)).save(tmp_path / "out" / "p.jpg", exif=image.info["exif"])
    (one,) = tags(tmp_path / "out")
    assert set(one) - FORMAL - ALLOWED
