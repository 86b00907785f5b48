"""What files say of themselves, where others wrote it: exiftool, piexif and Pillow.

Names and examples are those of the standards. Exif: CIPA DC-008-2012 (Exif 2.3), tables 4, 7 and 8.
IPTC: IIM 4.2 (1999, rev. 2014), chapter 6, record 2. XMP: ISO 16684-1:2019 and the IPTC Photo
Metadata Standard 2023.2, whose text says under *Date Created*: the date of the image's content,
not of its digital representation. The date notations are those of Exif 4.6.5 (`YYYY:MM:DD
HH:MM:SS`), IIM 2:55 (`CCYYMMDD`) and ISO 8601 (XMP); from memory, as no copy is kept here.
"""

from __future__ import annotations

import shutil
import subprocess
from datetime import date
from pathlib import Path

import piexif
import piexif.helper
import pytest
from PIL import Image, PngImagePlugin
from prints import picture, saved

from archive.core.arrivals import Carried
from archive.imaging.arrivals import Arrival, look_at
from archive.imaging.catalogue import facts_of
from archive.intake.told import credit_of, scanned_on, taken_perhaps, title_of

TODAY = date(2026, 11, 25)
FORMATS = ("jpg", "tif", "png", "webp")


def look(path: Path) -> Arrival:
    facts = facts_of([path])
    (found,) = look_at(facts).values()
    assert isinstance(found, Arrival)
    return found


def written(path: Path, *tags: str) -> Arrival:
    """The picture with tags that exiftool wrote into it, looked at."""
    tool = shutil.which("exiftool")
    if tool is None:
        pytest.fail("exiftool is not here: python tests/ready.py installs it, or says how.")
    words = [tool, "-q", "-m", "-overwrite_original", *tags, str(path)]
    done = subprocess.run(words, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return look(path)


def values(arrival: Arrival, standard: str, name: str) -> list[str]:
    return [one.text for one in arrival.carried if (one.standard, one.name) == (standard, name)]


@pytest.mark.parametrize("ending", FORMATS)
def test_exif_and_xmp_of_another_writer_in_every_format(tmp_path, ending):
    found = written(
        saved(tmp_path / f"a.{ending}"),
        "-EXIF:ImageDescription=The slip",
        "-EXIF:Artist=Scan desk",
        "-EXIF:ModifyDate=2026:06:30 09:00:00",
        "-EXIF:DateTimeOriginal=1932:07:19 12:00:00",
        "-EXIF:CreateDate=2026:06:21 10:00:00",
        "-EXIF:UserComment=Zählung",
        "-XMP-dc:Title=Slipway, second print",
        "-XMP-dc:Title-nb=Slippen",
        "-XMP-dc:Description=Übergabe [am] See",
        "-XMP-dc:Creator=Ada Holm",
        "-XMP-dc:Creator=P. Nes",
        "-XMP-photoshop:Credit=Hollin District Archive",
        "-XMP-photoshop:DateCreated=1932:07:19",
    )
    assert values(found, "Exif", "ImageDescription") == ["The slip"]
    assert values(found, "Exif", "Artist") == ["Scan desk"]
    assert values(found, "Exif", "UserComment") == ["Zählung"]
    assert values(found, "XMP", "dc:title") == ["Slipway, second print"]
    assert values(found, "XMP", "dc:description") == ["Übergabe [am] See"]
    assert values(found, "XMP", "dc:creator") == ["Ada Holm", "P. Nes"]
    # Table 8 of Exif 2.3: DateTimeDigitized is when it was stored as digital data.
    assert scanned_on(found.carried, TODAY) == date(2026, 6, 21)
    day, _ = taken_perhaps(found.carried)
    assert day == "1932-07-19"
    assert title_of(found.carried) == "Slipway, second print"
    assert credit_of(found.carried) == "Hollin District Archive"


@pytest.mark.parametrize("ending", ["jpg", "tif"])
@pytest.mark.parametrize("code", ["UTF8", "Latin"])
def test_iptc_of_another_writer(tmp_path, ending, code):
    more = ["-IPTC:CodedCharacterSet=UTF8"] if code == "UTF8" else []
    found = written(
        saved(tmp_path / f"a.{ending}"),
        *more,
        "-IPTC:ObjectName=Slip",
        "-IPTC:Caption-Abstract=Über dem Slip",
        "-IPTC:By-line=Holm",
        "-IPTC:Credit=Hollin District Archive",
        "-IPTC:DateCreated=1932:07:19",
        "-IPTC:Keywords=floats",
        "-IPTC:Keywords=slip",
    )
    assert values(found, "IPTC", "Caption-Abstract") == ["Über dem Slip"]
    assert values(found, "IPTC", "Keywords") == ["floats", "slip"]
    assert values(found, "IPTC", "Date Created") == ["19320719"]
    assert title_of(found.carried) == "Slip"
    assert taken_perhaps(found.carried) == (
        "1932-07-19", Carried("IPTC", "Date Created", "19320719"),
    )  # fmt: skip
    assert scanned_on(found.carried, TODAY) is None


def test_where_it_was_taken_and_makers_notes_are_not_read(tmp_path):
    found = written(
        saved(tmp_path / "a.jpg"),
        "-GPSLatitude=60.1",
        "-GPSLatitudeRef=N",
        "-EXIF:SerialNumber=SECRET-1",
        "-XMP-exif:GPSLatitude=60.1",
        "-EXIF:Artist=Holm",
    )
    assert [str(one) for one in found.carried] == ["Exif Artist: Holm"]


@pytest.mark.parametrize(("encoding", "text"), [("ascii", "Am Slip"), ("unicode", "Über")])
def test_a_users_comment_in_the_codes_of_exif(tmp_path, encoding, text):
    """Exif 2.3, 4.6.5 D: the first eight bytes name the code. piexif writes them."""
    comment = piexif.helper.UserComment.dump(text, encoding)
    exif = piexif.dump({"Exif": {piexif.ExifIFD.UserComment: comment}})
    found = look(saved(tmp_path / "a.jpg", 1, exif=exif))
    assert values(found, "Exif", "UserComment") == [text]


def test_a_title_in_the_tag_of_a_vendor(tmp_path):
    title = "Flottør på slipp".encode("utf-16-le") + b"\0\0"
    exif = piexif.dump({"0th": {piexif.ImageIFD.XPTitle: tuple(title)}})
    assert title_of(look(saved(tmp_path / "a.jpg", 1, exif=exif)).carried) == "Flottør på slipp"


def test_the_keywords_of_png(tmp_path):
    """PNG, third edition (W3C, 2025), 11.3.3.1: Title, Author, Description, Creation Time …"""
    texts = PngImagePlugin.PngInfo()
    texts.add_text("Title", "Slip")
    texts.add_itxt("Description", "Über dem Slip")
    texts.add_text("Creation Time", "2026-03-01T10:00:00")
    texts.add_text("Else", "not kept")
    found = look(saved(tmp_path / "a.png", 1, pnginfo=texts))
    assert [str(one) for one in found.carried] == [
        "PNG Title: Slip",
        "PNG Description: Über dem Slip",
        "PNG Creation Time: 2026-03-01T10:00:00",
    ]
    assert scanned_on(found.carried, TODAY) == date(2026, 3, 1)


@pytest.mark.parametrize(("dpi", "found"), [(600, 600), (72, None), (96, None), (1200, 1200)])
@pytest.mark.parametrize("ending", ["jpg", "tif", "png"])
def test_resolution(tmp_path, ending, dpi, found):
    """Exif 2.3, 4.6.4 A, XResolution: "when the image resolution is unknown, 72 [dpi]"."""
    assert look(saved(tmp_path / f"a.{ending}", 1, dpi=(dpi, dpi))).dpi == found


def test_the_sum_of_the_pixels_is_of_the_pixels_alone(tmp_path):
    sums = {look(saved(tmp_path / f"a.{ending}", 1)).pixels for ending in ("png", "tif")}
    sums.add(look(saved(tmp_path / "b.webp", 1, lossless=True)).pixels)
    picture(1).convert("RGB").save(tmp_path / "rgb.png")
    sums.add(look(tmp_path / "rgb.png").pixels)
    assert len(sums) == 1
    assert look(saved(tmp_path / "other.png", 2)).pixels not in sums
    turned = picture(1).transpose(Image.Transpose.ROTATE_90)
    turned.save(tmp_path / "turned.png")
    assert look(tmp_path / "turned.png").pixels not in sums
