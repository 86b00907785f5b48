"""The few lines of credit, rights and source that a published picture may carry: XMP and Exif.

Properties after the IPTC Photo Metadata Standard and the XMP rights schema: photoshop:Credit,
dc:rights, dc:source, xmpRights:UsageTerms and xmpRights:WebStatement. Exif 2.3 has two tags for
them, Copyright and ImageDescription; text beyond ASCII stands there in UTF-8, as most readers
take it.
"""

from __future__ import annotations

from collections.abc import Mapping
from xml.sax.saxutils import escape

import piexif

FIELDS = {
    "credit": "<photoshop:Credit>{}</photoshop:Credit>",
    "rights": "<dc:rights><rdf:Alt><rdf:li xml:lang='x-default'>{}</rdf:li></rdf:Alt></dc:rights>",
    "source": "<dc:source>{}</dc:source>",
    "usage": "<xmpRights:UsageTerms><rdf:Alt><rdf:li xml:lang='x-default'>{}</rdf:li></rdf:Alt>"
    "</xmpRights:UsageTerms>",
    "statement": "<xmpRights:WebStatement>{}</xmpRights:WebStatement>",
}

_PACKET = (
    "<?xpacket begin='\ufeff' id='W5M0MpCehiHzreSzNTczkc9d'?>"
    "<x:xmpmeta xmlns:x='adobe:ns:meta/'>"
    "<rdf:RDF xmlns:rdf='http://www.w3.org/1999/02/22-rdf-syntax-ns#'>"
    "<rdf:Description rdf:about='' xmlns:dc='http://purl.org/dc/elements/1.1/'"
    " xmlns:photoshop='http://ns.adobe.com/photoshop/1.0/'"
    " xmlns:xmpRights='http://ns.adobe.com/xap/1.0/rights/'>{}</rdf:Description>"
    "</rdf:RDF></x:xmpmeta><?xpacket end='r'?>"
)


def packet(metadata: Mapping[str, str] | None) -> str:
    """The XMP packet for `metadata`, or "" for none.

    Raises ValueError for a key that isn't in `FIELDS`, for characters that XML can't carry, and
    for more text than a JPEG segment holds.
    """
    if not metadata:
        return ""
    unknown = sorted(set(metadata) - set(FIELDS))
    if unknown:
        raise ValueError(f"not allowed in a picture's metadata: {', '.join(unknown)}")
    lines = []
    for field, form in FIELDS.items():
        text = metadata.get(field, "")
        if not all(
            c in "\t\n" or " " <= c < "\ud800" or "\ue000" <= c < "\ufffe" or c > "\uffff"
            for c in text
        ):
            raise ValueError(f"a character in {field} can't stand in a picture's metadata")
        if text:
            lines.append(form.format(escape(text)))
    whole = _PACKET.format("".join(lines))
    if len(whole.encode()) > 60_000:
        raise ValueError("more text than a picture's metadata can hold")
    return whole


def exif(metadata: Mapping[str, str] | None) -> bytes:
    """An Exif segment with the rights (else the credit) and the source; b"" where neither is given.

    Only what is in `metadata` goes in: nothing is ever taken over from a file.
    """
    told = metadata or {}
    tags = {
        piexif.ImageIFD.Copyright: told.get("rights") or told.get("credit") or "",
        piexif.ImageIFD.ImageDescription: told.get("source", ""),
    }
    written = {tag: text.encode() for tag, text in tags.items() if text}
    made: bytes = piexif.dump({"0th": written}) if written else b""
    return made
