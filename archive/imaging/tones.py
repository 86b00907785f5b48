"""Brings every pixel layout to 8-bit grey or sRGB, as a screen shows it; runs in the child only."""

from __future__ import annotations

import io

from PIL import Image, ImageCms, TiffImagePlugin

from archive.imaging.refusals import refused

_SIXTEEN = ("I;16", "I;16L", "I;16B", "I;16N")
_WHITE_IS_ZERO = 0
_PHOTOMETRIC = 262


def for_screen(image: Image.Image, format: str) -> Image.Image:
    """The loaded `image` as "L" or "RGB".

    16-bit grey is scaled from the full range (65535 is white), never stretched to what the
    picture holds; transparency is laid on white; an embedded colour profile is applied and
    dropped. Raises `Refused` for layouts without an agreed look (floating point, signed).
    """
    profile = image.info.get("icc_profile")
    if image.mode in _SIXTEEN:
        image = _eight_bits(image)
    elif image.mode == "1":
        image = image.convert("L")
    elif image.mode in ("RGBA", "RGBa", "LA", "La", "PA") or "transparency" in image.info:
        image = _on_white(image)
    elif image.mode in ("P", "YCbCr", "RGBX"):
        image = image.convert("RGB")
    if image.mode not in ("L", "RGB", "CMYK"):
        raise refused("image-layout-refused", f"The picture's pixels are laid out as {image.mode}.")
    if isinstance(profile, bytes) and profile:
        image = _to_srgb(image, profile)
    return image.convert("RGB") if image.mode == "CMYK" else image


def _eight_bits(image: Image.Image) -> Image.Image:
    """16-bit grey to 8 bits: v/257 to the nearest, so that 65535 becomes 255."""
    table = [(value + 128) // 257 for value in range(65536)]
    if (
        isinstance(image, TiffImagePlugin.TiffImageFile)
        and image.tag_v2.get(_PHOTOMETRIC) == _WHITE_IS_ZERO
    ):  # Pillow inverts 8-bit negatives of this kind, but not 16-bit ones
        table.reverse()
    return image.convert("I").point(table, "L")


def _on_white(image: Image.Image) -> Image.Image:
    grey = image.mode in ("L", "LA", "La")
    layered = image if image.mode == "RGBA" else image.convert("RGBA")
    ground = Image.new("RGB", image.size, "white")
    ground.paste(layered, mask=layered)
    return ground.convert("L") if grey else ground


def _to_srgb(image: Image.Image, profile: bytes) -> Image.Image:
    """`image` through its own profile to sRGB; unchanged where the profile is broken or foreign."""
    try:
        source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        space = source.profile.xcolor_space.strip()
        if "sRGB" in (source.profile.profile_description or ""):
            return image
        if space == "GRAY" and image.mode == "L":
            # Grey needs 256 values through the profile, not every pixel.
            ramp = Image.frombytes("L", (256, 1), bytes(range(256)))
            curve = _transform(ramp, source).getchannel("G").tobytes()
            return image.point(list(curve))
        if space == image.mode and space in ("RGB", "CMYK"):
            return _transform(image, source)
    except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
        pass  # the numbers as they stand are the better guess than no picture
    return image


def _transform(image: Image.Image, source: ImageCms.ImageCmsProfile) -> Image.Image:
    result = ImageCms.profileToProfile(
        image,
        source,
        ImageCms.createProfile("sRGB"),
        renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
        outputMode="RGB",
        flags=ImageCms.Flags.BLACKPOINTCOMPENSATION,
    )
    assert result is not None
    return result
