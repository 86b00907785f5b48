"""What a picture file says of itself in Exif, XMP, IPTC and its comments; runs in the child only.

Nothing here is believed: it is text for a person to read. Where a photograph was taken, serial
numbers and makers' own notes are left unread, because nobody asked for them to be kept.
"""

from __future__ import annotations

import re
import warnings
from collections.abc import Iterator, Mapping
from typing import Any

from defusedxml import ElementTree
from PIL import Image, ImageFile, IptcImagePlugin, PngImagePlugin, TiffImagePlugin

from archive.imaging.limits import MEBI

Said = tuple[str, str, str]
"""Standard, name, text."""

LONGEST = 2000
MOST = 60
"""Characters of one text, and texts of one file, that are kept."""

# Exif 2.3 (CIPA DC-008-2012), 4.6.4 and 4.6.5; the XP tags are a vendor's, in UTF-16.
_EXIF = {
    270: "ImageDescription",
    271: "Make",
    272: "Model",
    305: "Software",
    306: "DateTime",
    315: "Artist",
    33432: "Copyright",
    40091: "XPTitle",
    40092: "XPComment",
    40093: "XPAuthor",
    40094: "XPKeywords",
    40095: "XPSubject",
}
_EXIF_IFD = {36867: "DateTimeOriginal", 36868: "DateTimeDigitized", 37510: "UserComment"}

# IPTC IIM 4.2, record 2: dataset → name.
_IPTC = {
    5: "Object Name",
    25: "Keywords",
    40: "Special Instructions",
    55: "Date Created",
    80: "By-line",
    85: "By-line Title",
    90: "City",
    101: "Country Name",
    103: "Original Transmission Reference",
    105: "Headline",
    110: "Credit",
    115: "Source",
    116: "Copyright Notice",
    120: "Caption-Abstract",
    122: "Writer-Editor",
}

# XMP (ISO 16684-1) and the IPTC Photo Metadata Standard: namespace → prefix, and what is read.
_SPACES = {
    "http://purl.org/dc/elements/1.1/": "dc",
    "http://ns.adobe.com/photoshop/1.0/": "photoshop",
    "http://ns.adobe.com/xap/1.0/": "xmp",
    "http://ns.adobe.com/xap/1.0/rights/": "xmpRights",
    "http://iptc.org/std/Iptc4xmpExt/2008-02-29/": "Iptc4xmpExt",
}
_XMP = frozenset(
    {
        "dc:title", "dc:description", "dc:creator", "dc:rights", "dc:source", "dc:identifier",
        "dc:subject", "photoshop:Headline", "photoshop:Credit", "photoshop:Source",
        "photoshop:DateCreated", "photoshop:Instructions", "photoshop:CaptionWriter",
        "xmp:CreateDate", "xmp:CreatorTool", "xmpRights:UsageTerms", "xmpRights:WebStatement",
        "xmpRights:Owner", "Iptc4xmpExt:DigitalSourceType",
    }
)  # fmt: skip
_RDF = "{http://www.w3.org/1999/02/22-rdf-syntax-ns#}"
_LANG = "{http://www.w3.org/XML/1998/namespace}lang"


def carried(image: Image.Image, png_exif: bytes | None = None) -> list[list[str]]:
    """`[standard, name, text]` of all that a file says of itself, each once, in a fixed order.

    A block that can't be read is passed over: nothing rests on it. Of a PNG the chunks that stand
    after the pixels are known once these are loaded; `png_exif` is its block of Exif.
    """
    found: dict[tuple[str, str, str], None] = {}
    for read in (_exif, _iptc, _xmp, _comments):
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            try:
                for standard, name, text in read(image, png_exif):
                    line = one_line(text)
                    if line:
                        found.setdefault((standard, name, line))
            except MemoryError:
                raise
            except Exception:
                continue  # a damaged block is no reason to refuse the picture
    return [list(one) for one in found][:MOST]


def one_line(text: str) -> str:
    """A text as one line of printable characters, cut at `LONGEST`."""
    plain = "".join(c if c.isprintable() else " " for c in text[: 4 * LONGEST])
    plain = re.sub(r" {2,}", " ", plain).strip()
    return plain if len(plain) <= LONGEST else plain[: LONGEST - 1] + "…"


def dots_an_inch(info: Mapping[Any, Any]) -> int | None:
    """The resolution, where both ways have the same; 72 stands for unknown (Exif 2.3, 4.6.4 A)."""
    try:
        across, down = (round(float(value)) for value in info["dpi"])
    except (KeyError, TypeError, ValueError, OverflowError, ZeroDivisionError):
        return None
    known = across == down and 72 < across < 100_000 and across != 96  # 96: a screen's
    return across if known else None


def _exif(image: Image.Image, png_exif: bytes | None) -> Iterator[Said]:
    if image.format == "PNG":
        exif = Image.Exif()
        if png_exif:
            exif.load(png_exif)
    else:
        exif = image.getexif()
    for tag, name in _EXIF.items():
        value = exif.get(tag)
        if value is not None:
            yield "Exif", name, _exif_text(tag, value)
    inner = exif.get_ifd(0x8769)
    for tag, name in _EXIF_IFD.items():
        value = inner.get(tag)
        if value is not None:
            yield "Exif", name, _exif_text(tag, value)


def _exif_text(tag: int, value: Any) -> str:
    if isinstance(value, tuple):
        value = bytes(value) if all(isinstance(v, int) for v in value) else value[0]
    if isinstance(value, bytes):
        if 40091 <= tag <= 40095:
            return value.decode("utf-16-le", "replace").rstrip("\0")
        if tag == 37510:
            return _user_comment(value)
        return _text(value)
    text = str(value).rstrip("\0 ")
    try:  # Pillow takes the bytes for Latin-1; much software writes UTF-8 there
        return text.encode("latin-1").decode("utf-8")
    except (UnicodeEncodeError, UnicodeDecodeError):
        return text


def _user_comment(value: bytes) -> str:
    """Exif 2.3, 4.6.5 D, tag 37510: eight bytes name the code, then the text."""
    code, body = value[:8], value[8:]
    if code == b"UNICODE\0":
        big = body[:1] == b"\0" or body.startswith(b"\xfe\xff")
        return body.decode("utf-16-be" if big else "utf-16-le", "replace").strip("\0\ufeff ")
    if code == b"JIS\0\0\0\0\0":
        return body.decode("iso2022_jp", "replace").strip("\0 ")
    return _text(body if code in (b"ASCII\0\0\0", b"\0" * 8) else value)


def _text(value: bytes, utf8: bool = False) -> str:
    value = value.rstrip(b"\0 ")
    try:
        return value.decode("utf-8")
    except UnicodeDecodeError:
        return value.decode("utf-8" if utf8 else "cp1252", "replace")


def _iptc(image: Image.Image, png_exif: bytes | None) -> Iterator[Said]:
    found: Any = {}
    if isinstance(image, ImageFile.ImageFile):
        found = IptcImagePlugin.getiptcinfo(image) or {}
    for (record, dataset), value in sorted(found.items()):
        if record == 2 and dataset in _IPTC:
            utf8 = found.get((1, 90)) == b"\x1b%G"  # IIM 4.2, 1:90: UTF-8 was announced
            for one in value if isinstance(value, list) else [value]:
                yield "IPTC", _IPTC[dataset], _text(one, utf8)


def _xmp(image: Image.Image, png_exif: bytes | None) -> Iterator[Said]:
    packet: Any = image.info.get("xmp") or _png_texts(image).get("XML:com.adobe.xmp")
    if packet is None and isinstance(image, TiffImagePlugin.TiffImageFile):
        packet = image.tag_v2.get(700)
    if isinstance(packet, str):
        packet = packet.encode()
    if not isinstance(packet, bytes) or len(packet) > MEBI:
        return
    start, end = packet.find(b"<"), packet.rfind(b">")
    root = ElementTree.fromstring(packet[start : end + 1], forbid_dtd=True)
    for description in root.iter(f"{_RDF}Description"):
        for key, value in description.attrib.items():
            name = _xmp_name(key)
            if name:
                yield "XMP", name, value
        for child in description:
            name = _xmp_name(child.tag)
            if name:
                yield from (("XMP", name, text) for text in _xmp_texts(child))


def _xmp_name(key: str) -> str | None:
    space, _, local = key.removeprefix("{").partition("}")
    name = f"{_SPACES.get(space, '')}:{local}"
    return name if name in _XMP else None


def _xmp_texts(element: Any) -> Iterator[str]:
    """The text of a property, or of the items of its list; of alternatives the default one."""
    items = list(element.iter(f"{_RDF}li"))
    if not items:
        yield element.get(f"{_RDF}resource") or element.text or ""
        return
    if element.find(f"{_RDF}Alt") is not None:
        items.sort(key=lambda item: item.get(_LANG) != "x-default")
        items = items[:1]
    yield from (item.text or "" for item in items)


def _comments(image: Image.Image, png_exif: bytes | None) -> Iterator[Said]:
    comment = image.info.get("comment")
    if isinstance(comment, bytes):
        yield str(image.format), "comment", _text(comment)
    texts = _png_texts(image)
    for key in (
        "Title",
        "Author",
        "Description",
        "Copyright",
        "Creation Time",
        "Source",
        "Comment",
    ):
        if key in texts:  # the keywords of the PNG specification, third edition, 11.3.3.1
            yield "PNG", key, str(texts[key])


def _png_texts(image: Image.Image) -> Mapping[str, str]:
    return image.text if isinstance(image, PngImagePlugin.PngImageFile) else {}
