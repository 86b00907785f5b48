"""Every pixel layout comes out as 8-bit grey or sRGB with the tones that it had."""

from __future__ import annotations

import io
import struct
import zlib

import pytest
from PIL import Image, ImageCms

from archive.imaging.decode import decode, open_picture
from archive.imaging.limits import Limits
from archive.imaging.refusals import Refused


def through(picture: Image.Image, format: str, **options: object) -> Image.Image:
    buffer = io.BytesIO()
    picture.save(buffer, format, **options)
    data = buffer.getvalue()
    return decode(open_picture(io.BytesIO(data), len(data), Limits()))


def sixteen(values: list[int]) -> Image.Image:
    return Image.frombytes("I;16", (len(values), 1), struct.pack(f"<{len(values)}H", *values))


@pytest.mark.parametrize("format", ["PNG", "TIFF"])
def test_sixteen_bits_are_scaled_from_the_full_range(format: str) -> None:
    values = [0, 1, 128, 129, 257, 32767, 32768, 65406, 65407, 65535]
    found = through(sixteen(values), format)
    assert found.mode == "L"
    assert list(found.tobytes()) == [round(value * 255 / 65535) for value in values]


def test_a_dark_sixteen_bit_scan_stays_dark() -> None:
    assert max(through(sixteen([0, 4095]), "PNG").tobytes()) == 16


def test_big_endian_sixteen_bits() -> None:
    pixels = struct.pack(">4H", 0, 1000, 40000, 65535)
    found = through(Image.frombytes("I;16B", (4, 1), pixels), "TIFF")
    assert list(found.tobytes()) == [0, 4, 156, 255]


def test_white_is_zero_is_turned_in_eight_and_sixteen_bits() -> None:
    """TIFF 6.0 (Adobe, 1992), section 3, PhotometricInterpretation 0: 0 is imaged as white."""

    def tiff(bits: int, pixels: bytes) -> bytes:
        tags = [(256, 4, 2), (257, 4, 1), (258, 3, bits), (259, 3, 1), (262, 3, 0)]
        tags += [(273, 4, 8), (277, 3, 1), (278, 4, 1), (279, 4, len(pixels))]
        body = struct.pack("<2sHI", b"II", 42, 8 + len(pixels)) + pixels
        body += struct.pack("<H", len(tags))
        body += b"".join(struct.pack("<HHII", tag, kind, 1, value) for tag, kind, value in tags)
        return body + bytes(4)

    for data in (tiff(8, bytes([0, 191])), tiff(16, struct.pack("<2H", 0, 191 * 257))):
        found = decode(open_picture(io.BytesIO(data), len(data), Limits()))
        assert list(found.tobytes()) == [255, 64]


def test_line_art_and_grey_stay_grey() -> None:
    assert through(Image.new("1", (4, 4), 1), "TIFF").tobytes() == b"\xff" * 16
    assert through(Image.new("L", (4, 4), 77), "JPEG").mode == "L"


def test_palette_and_transparency_are_laid_on_white() -> None:
    palette = Image.new("P", (2, 1))
    palette.putpalette([200, 10, 20, 0, 0, 0])
    palette.putdata([0, 1])
    assert through(palette, "PNG").getpixel((0, 0)) == (200, 10, 20)
    assert through(palette, "PNG", transparency=1).getpixel((1, 0)) == (255, 255, 255)
    half = through(Image.new("RGBA", (1, 1), (0, 0, 0, 128)), "PNG")
    assert half.getpixel((0, 0)) == (127, 127, 127)
    grey = through(Image.new("LA", (1, 1), (0, 0)), "PNG")
    assert (grey.mode, grey.getpixel((0, 0))) == ("L", 255)
    assert through(Image.new("RGBA", (1, 1), (9, 9, 9, 0)), "WEBP", lossless=True).getpixel(
        (0, 0)
    ) == (255, 255, 255)
    keyed = through(Image.new("RGB", (1, 1), (1, 2, 3)), "PNG", transparency=(1, 2, 3))
    assert keyed.getpixel((0, 0)) == (255, 255, 255)


def test_cmyk_becomes_rgb_the_right_way_round() -> None:
    for format in ("JPEG", "TIFF"):
        ink = through(Image.new("CMYK", (16, 16), (0, 255, 255, 0)), format)
        red, green, blue = ink.getpixel((8, 8))  # type: ignore[misc]
        assert ink.mode == "RGB" and red > 240 and green < 15 and blue < 15


def test_a_colour_profile_is_applied_and_dropped() -> None:
    """A linear-light profile: sRGB's curve (IEC 61966-2-1) sends linear 0.2140 to 0.5."""
    linear = profile_with_gamma_one()
    found = through(Image.new("RGB", (1, 1), (55, 55, 55)), "PNG", icc_profile=linear)
    assert all(abs(value - 128) <= 2 for value in found.getpixel((0, 0)))  # type: ignore[union-attr]
    assert found.info == {}


def profile_with_gamma_one() -> bytes:
    """sRGB's own profile with the three curves replaced by the straight line."""
    data = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    line = b"curv" + bytes(8)
    count = struct.unpack_from(">I", data, 128)[0]
    for number in range(count):
        at = 132 + 12 * number
        if bytes(data[at : at + 4]) in (b"rTRC", b"gTRC", b"bTRC"):
            struct.pack_into(">II", data, at + 4, len(data), len(line))
        elif data[at : at + 4] == b"desc":  # else it would pass for sRGB
            data[at : at + 4] = b"xxxx"
    data += line
    struct.pack_into(">I", data, 0, len(data))
    return bytes(data)


def test_a_broken_profile_is_ignored() -> None:
    found = through(Image.new("RGB", (1, 1), (55, 56, 57)), "PNG", icc_profile=b"\0" * 200)
    assert found.getpixel((0, 0)) == (55, 56, 57)


def test_floating_point_pixels_are_refused_by_name() -> None:
    with pytest.raises(Refused) as told:
        through(Image.new("F", (2, 2), 0.5), "TIFF")
    assert told.value.refusal.code == "image-layout-refused"


def test_a_swollen_text_chunk_is_refused() -> None:
    buffer = io.BytesIO()
    Image.new("L", (2, 2)).save(buffer, "PNG")
    text = b"note\0\0" + zlib.compress(bytes(80_000_000))
    chunk = struct.pack(">I", len(text)) + b"zTXt" + text
    chunk += struct.pack(">I", zlib.crc32(b"zTXt" + text))
    data = buffer.getvalue()[:33] + chunk + buffer.getvalue()[33:]
    with pytest.raises(Refused) as told:
        open_picture(io.BytesIO(data), len(data), Limits())
    assert told.value.refusal.code == "image-damaged"
