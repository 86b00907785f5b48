"""Opens an image file by its content, and decodes it upright; runs in the limited child only."""

from __future__ import annotations

import re
import struct
import warnings
from dataclasses import dataclass
from typing import BinaryIO

from PIL import Image, TiffImagePlugin

from archive.imaging.limits import MEGA, Limits
from archive.imaging.refusals import Refused, refused
from archive.imaging.tones import for_screen

ORIENTATION = 274  # the Exif and TIFF tag

# Exif 2.3 (CIPA DC-008), tag 274: what turns the stored rows and columns upright.
UPRIGHT = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}

_TAKEN = (
    (b"\xff\xd8\xff", "JPEG"),
    (b"\x89PNG\r\n\x1a\n", "PNG"),
    (b"II*\0", "TIFF"),
    (b"MM\0*", "TIFF"),
    (b"II+\0", "TIFF"),
    (b"MM\0+", "TIFF"),
)
_NOT_TAKEN = (
    (b"GIF8", "GIF"),
    (b"%!PS", "PostScript"),
    (b"\xc5\xd0\xd3\xc6", "PostScript"),
    (b"%PDF", "PDF"),
    (b"BM", "BMP"),
    (b"8BPS", "layered editor file"),
    (b"\0\0\0\x0cjP  ", "JPEG 2000"),
    (b"\xff\x4f\xff\x51", "JPEG 2000"),
    (b"\xff\x0a", "JPEG XL"),
    (b"\0\0\0\x0cJXL ", "JPEG XL"),
    (b"FUJIFILM", "camera raw"),
    (b"\0\0\x01\0", "icon"),
)


@dataclass(frozen=True, slots=True)
class Opened:
    """An image whose header has been read and found within the limits; no pixel is decoded yet.

    `width_px` and `height_px` are after `orientation` (1 to 8) is applied.
    """

    image: Image.Image
    format: str
    orientation: int
    width_px: int
    height_px: int


def format_of(head: bytes) -> str:
    """The format by the first 64 bytes of the file; raises `Refused` for any but the four."""
    for magic, name in _TAKEN:
        if head.startswith(magic):
            return name
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        return "WEBP"
    named = next((name for magic, name in _NOT_TAKEN if head.startswith(magic)), "")
    if head[4:8] == b"ftyp":
        named = "HEIF, AVIF or film"
    elif re.match(rb"(\xef\xbb\xbf)?\s*<(svg|\?xml)", head, re.IGNORECASE):
        named = "SVG or other XML"
    if named:
        raise refused("image-format-refused", f"The file's content is of the kind {named}.")
    raise refused("image-not-a-picture", "The file's content isn't a picture.")


def open_picture(file: BinaryIO, file_bytes: int, limits: Limits) -> Opened:
    """Reads the header of `file` (seekable, `file_bytes` long).

    Raises `Refused` for what isn't a picture of the four formats, claims more pixels than the
    limits allow, or has a damaged header.
    """
    file.seek(0)
    head = file.read(64)
    if not head:
        raise refused("image-empty", "The file holds no bytes.")
    format = format_of(head)
    Image.MAX_IMAGE_PIXELS = limits.pixels
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        try:
            file.seek(0)
            image = Image.open(file, formats=(format,))
            if format == "TIFF":
                _refuse_raw(image)
            orientation = _orientation(image, format, file)
        except (Image.DecompressionBombWarning, Image.DecompressionBombError):
            most = f"{limits.pixels // MEGA} million"
            raise refused(
                "image-too-many-pixels", f"The picture claims more than {most} pixels."
            ) from None
        except (Refused, MemoryError):
            raise
        except Exception as error:
            raise refused("image-damaged", damage("The picture's header", error)) from None
    width, height = image.size
    if width * height > 50 * MEGA and not limits.allowed and file_bytes * 500 < width * height:
        raise refused(
            "image-swells",
            f"The file claims {width} x {height} pixels in no more than {file_bytes} bytes.",
        )
    # Pillow gives the size of a turned TIFF as upright already, that of other formats as stored.
    if orientation >= 5 and format != "TIFF":
        width, height = height, width
    return Opened(image, format, orientation, width, height)


def decode(opened: Opened, at_least: tuple[int, int] | None = None) -> Image.Image:
    """The pixels: upright, "L" or "RGB" in sRGB, with an empty `info`.

    `at_least` (upright width and height) lets a JPEG be decoded at a half, quarter or eighth of
    its size as long as neither side falls below it. Raises `Refused` where the data is damaged.
    """
    image = opened.image
    turned = opened.orientation >= 5
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            if at_least and opened.format == "JPEG":
                image.draft(None, (at_least[1], at_least[0]) if turned else at_least)
            # Pillow turns TIFFs itself, and would obey an orientation written in the XMP too.
            for key in ("xmp", "XML:com.adobe.xmp"):
                image.info.pop(key, None)
            image.load()
            upright = for_screen(image, opened.format)
            if opened.format != "TIFF" and opened.orientation in UPRIGHT:
                upright = upright.transpose(UPRIGHT[opened.orientation])
        except (Refused, MemoryError):
            raise
        except Exception as error:
            raise refused("image-damaged", damage("The picture's data", error)) from None
    upright.info = {}
    return upright


def damage(what: str, error: Exception) -> str:
    """A sentence for a decoder's complaint, without addresses and paths that may stand in it."""
    said = re.sub(r"<[^>]*>|\s+", " ", str(error)).strip().rstrip(".")[:120]
    return f"{what} can't be decoded ({said or type(error).__name__})."


def _orientation(image: Image.Image, format: str, file: BinaryIO) -> int:
    """The Exif orientation, 1 where none is given or the value isn't one of the eight."""
    value: object = None
    if isinstance(image, TiffImagePlugin.TiffImageFile):
        value = image.tag_v2.get(ORIENTATION)
    else:
        block = png_exif(file) if format == "PNG" else image.info.get("exif")
        if not block:
            return 1
        exif = Image.Exif()
        with warnings.catch_warnings(record=True) as complaints:
            warnings.simplefilter("always")
            try:
                exif.load(block)
                value = exif.get(ORIENTATION)
            except MemoryError:
                raise
            except Exception as error:
                said = damage("The embedded Exif data", error)
                raise refused("image-exif-damaged", said) from None
        if value is None and complaints:
            raise refused(
                "image-exif-damaged", "The embedded Exif data breaks off before the orientation."
            )
    return value if isinstance(value, int) and 1 <= value <= 8 else 1


def png_exif(file: BinaryIO) -> bytes | None:
    """A PNG's Exif, which may stand after the pixels: read without decoding these."""
    file.seek(8)
    while len(head := file.read(8)) == 8:
        length, kind = struct.unpack(">I4s", head)
        if kind == b"IEND":
            break
        if kind == b"eXIf":
            return b"Exif\0\0" + file.read(min(length, MEGA))
        file.seek(length + 4, 1)
    return None


def _refuse_raw(image: Image.Image) -> None:
    """A camera's raw file is a TIFF whose first image is a small preview: not the photograph."""
    assert isinstance(image, TiffImagePlugin.TiffImageFile)
    reduced = image.tag_v2.get(254, 0)
    if 50706 in image.tag_v2 or (isinstance(reduced, int) and reduced & 1):
        raise refused("image-format-refused", "The file's content is of the kind camera raw.")
