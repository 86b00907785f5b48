"""A content folder with a secret word in every field of every withheld record, and its scanner.

Each withheld record is written from the schema itself, so that a new field is a new canary. The
scanner undoes the encodings in which a word can travel, one inside the other, before it looks.
"""

from __future__ import annotations

import base64
import binascii
import gzip
import hashlib
import html
import io
import json
import random
import re
import urllib.parse
import zipfile
import zlib
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

import piexif
from PIL import Image, ImageDraw, PngImagePlugin

from archive.records.schema import KINDS, YAML_KINDS
from archive.records.spec import Node, Spec, fields_of, key_of

WORD = re.compile(rb"zq[0-9a-f]{10}")
SKIPPED = frozenset({"sealed", "withheld", "refused", "withdrawn", "statement", "basis"})
"""Fields that decide whether a record is withheld: those that a test sets itself."""


class Words:
    """Secret words, each with the place where it was hidden."""

    def __init__(self, seed: int) -> None:
        self.random = random.Random(seed)
        self.places: dict[str, str] = {}

    def new(self, place: str) -> str:
        """A word that stands nowhere else."""
        word = f"zq{self.random.getrandbits(40):010x}"
        self.places[word] = place
        return word


SHOWN = """
== aircraft.yaml ==
name: Test biplane
mark: QK-41
units: in
summary: A biplane
datum: {station_zero: the firewall}
target: survey-1932
languages: [de]
web: https://museum.example/qk-41/
events:
  - {id: floats-fitted, when: 1932-06-11, says: Floats fitted, evidence: [sources/HIDDEN]}
  - {id: tail-post-mod, when: 1933-05/1933-08, says: Post lengthened}
configurations:
  - {id: survey-1932, name: Survey state, after: [floats-fitted], before: [tail-post-mod]}
== zones.yaml ==
zones:
  - {id: "700", name: Floats, outlines: [{view: side, points: [[0, 0], [900, 0], [900, 300]]}]}
== people.yaml ==
people:
  - {id: hb, initials: HB, name: Hanne Brekk, publish: yes}
  - {id: lm, initials: LM, name: SECRETNAME, role: SECRETROLE}
== sources/shown.md ==
---
title: A print that may be shown
number: SECRETNUMBER
by: LM
on: 2026-01-02
purpose: SECRETPURPOSE
citation: {type: graphic, author: Somebody, issued: 1932-07, note: SECRETNOTE}
holder: SECRETHOLDER
box: SECRETBOX
generation: vintage-print
within: sources/HIDDEN
airframe: {is: this, by: HB, on: 2026-01-02, because: SECRETBECAUSE}
dated: {is: 1932-07-02, by: HB, on: 2026-01-02, because: SECRETBECAUSE2}
reliability: SECRETRELIABILITY
rights:
  basis: permission
  holder: SECRETRIGHTSHOLDER
  credit: The Museum, by kind leave
  crop: yes
  overprint: yes
  statement: http://rightsstatements.org/vocab/InC/1.0/
  log: [{on: 2026-01-02, says: SECRETLOG, by: LM, letter: HIDDEN}]
  grants: [{use: web, letter: HIDDEN, owes: SECRETFEE}]
---
Notes of the team: SECRETPROSE, and [another](sources/HIDDEN).
== photos/shown.md ==
---
title: A photograph that may be shown
number: SECRETPHOTONUMBER
kind: period
alt: An aeroplane on the water
source: shown
front: SECRETFRONT
back: SECRETBACK
airframe: {is: this, by: HB, on: 2026-01-02, because: the mark is legible}
configurations:
  - {configuration: survey-1932, is: must, by: HB, on: 2026-01-02, because: SECRETRULING}
regions:
  - {id: chine, name: The chine, outline: [[300, 50], [500, 50], [500, 150]], part: parts/chine}
  - id: secretplace
    name: SECRETREGION
    outline: [[40, 40], [200, 40], [200, 160], [40, 160]]
    withheld: yes
    part: parts/chine
same_negative:
  - {photo: HIDDEN, is: same, by: HB, on: 2026-01-02, because: SECRETSAME}
---
SECRETPHOTOPROSE
== parts/chine.md ==
---
title: Chine
number: SECRETPARTNUMBER
zone: "700"
summary: An angle along the float
tag: SECRETTAG
shelf: SECRETSHELF
survives: fragment
custody: [SECRETCUSTODY]
mates: [HIDDEN]
assembly: HIDDEN
made: [{what: A new angle, mark: x, by: LM, on: 2026-05-05, card: SECRETCARD}]
claims:
  - id: there
    aspect: existence
    says: An angle ran along the chine
    configuration: survey-1932
    evidence:
      - {photo: HIDDEN, quote: SECRETQUOTE, note: SECRETEVIDENCENOTE, by: LM}
      - {photo: shown#chine, note: SECRETEVIDENCENOTE2, by: LM}
      - {source: HIDDEN, quote: SECRETQUOTE2, against: yes}
    graded: [{is: seen, by: LM, on: 2026-02-02, because: SECRETGRADED}]
  - id: long
    aspect: size
    says: It was ten feet long
    evidence:
      - {source: HIDDEN, value: 10 ft +/- 1 in, quote: SECRETQUOTE3}
      - {photo: HIDDEN, value: 10 ft +/- 2 in}
---
SECRETPARTPROSE
== decisions/chine.md ==
---
title: The chine
number: SECRETDECISIONNUMBER
by: LM
on: 2026-03-03
question: Do we build it?
about: parts/chine
options: [{id: yes-do, says: SECRETOPTION, for: [sources/HIDDEN]}]
choice: build
because: SECRETREASON
leans_on: [sources/HIDDEN, photos/HIDDEN]
dissent: [{by: LM, on: 2026-03-03, says: SECRETDISSENT}]
approvals: [{by: LM, on: 2026-03-03, role: SECRETAPPROVAL, letter: HIDDEN}]
---
SECRETDECISIONPROSE
== decisions/chine.de.md ==
---
title: Der Winkel
because: SECRETGERMANREASON
---
== questions/open.md ==
---
title: How thick was it?
question: Nobody knows how thick it was
about: parts/chine
would_settle: A rivet
enquiries: [{who: SECRETASKED, on: 2026-01-01, says: SECRETENQUIRY, letter: HIDDEN}]
---
== questions/telling.md ==
---
title: SECRETQUESTION
question: SECRETQUESTION2
about: sources/HIDDEN
---
== stories/told.md ==
---
title: A story
summary: Told shortly
about: [parts/chine, sources/HIDDEN, photos/HIDDEN]
picture: photos/HIDDEN
---
She flew, as [a letter](../sources/HIDDEN.md) and [a picture](photos/HIDDEN) tell, and
![so](photos/HIDDEN).
See [it][1] too, or photos/HIDDEN itself.

[1]: sources/HIDDEN
== stories/told.de.md ==
---
title: Eine Geschichte
summary: Kurz gesagt
---
Sie flog, wie [ein Brief](sources/HIDDEN) erzählt.
"""
"""Records that may be shown; each SECRET… is a word of them that stays with the crew, and HIDDEN is
the id of withheld records of each kind."""


def write(folder: Path, words: Words, hidden: str = "", spoil: random.Random | None = None) -> None:
    """Write the content folder; `hidden` is the id of the withheld records.

    `spoil` changes only what is withheld: every secret word becomes another, some lists grow, and
    the withheld picture has other pixels.
    """
    hidden = hidden or words.new("id of the withheld records")
    text = re.sub(r"SECRET[A-Z0-9]+", lambda m: words.new(f"shown record, {m[0]}"), SHOWN)
    text = text.replace("HIDDEN", hidden)
    pieces = re.split(r"^== (\S.*) ==\n", text, flags=re.M)
    for path, body in zip(pieces[1::2], pieces[2::2], strict=True):
        _put(folder / path, body)
    for kind, cls in KINDS.items():
        fields = filled(cls, words, f"{kind}", hidden, spoil)
        fields |= {"title": words.new(f"{kind} title")}
        if kind == "photos":
            fields["source"] = f"sources/{hidden}"
        if kind == "cards":  # a card is as sealed as its part
            fields["part"] = f"parts/{hidden}"
        if kind == "sources":  # granted for panels, by the first of all words; not for the web
            fields["rights"]["basis"] = "permission"
        body = json.dumps(fields, ensure_ascii=False)
        if kind not in ("sources", "photos"):
            body = body[:-1] + ', "sealed": yes}'
        if kind in YAML_KINDS:
            _put(folder / f"{kind}/{hidden}.yaml", body + "\n")
            continue
        prose = words.new(f"{kind} prose")
        _put(folder / f"{kind}/{hidden}.md", f"---\n{body}\n---\n{prose}\n")
        other = words.new(f"{kind} translated")
        _put(folder / f"{kind}/{hidden}.de.md", f"---\ntitle: {other}\n---\n{other}\n")
    picture(folder / f"photos/{hidden}.jpg", words, "withheld picture", words.random.random())
    picture(folder / "photos/shown.jpg", words, "shown picture", 0.5)


def _put(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, "utf-8")


def filled(
    cls: type[Node], words: Words, place: str, hidden: str, spoil: random.Random | None = None
) -> dict[str, Any]:
    """Every field of a group, text fields with a secret word each, as plain values for YAML."""
    found: dict[str, Any] = {}
    for name, spec in fields_of(cls).items():
        if name in SKIPPED:
            continue
        value = _value(spec, words, f"{place} {name}", hidden, spoil)
        if value is None:
            continue
        count = 1 + (spoil.randrange(3) if spoil and spec.type == "text" else 0)
        if spec.judged:
            because = words.new(f"{place} {name} because")
            value = {"is": value, "by": "LM", "on": "2026-01-02", "because": because}
        if spec.many:
            several = [value]
            while len(several) < count:
                several.append(_value(spec, words, f"{place} {name}", hidden, spoil))
            value = several
        elif spec.table:
            value = {f"n{words.new(place)}": value}
        found[key_of(name, spec)] = value
    return found


def _value(spec: Spec, words: Words, place: str, hidden: str, spoil: random.Random | None) -> Any:
    if spec.type == "node" and spec.node is not None:
        return filled(spec.node, words, place, hidden, spoil)
    return {
        "text": lambda: words.new(place),
        "name": lambda: words.new(place),
        "choice": lambda: spec.choices[0],
        "yesno": lambda: "no",
        "whole": lambda: 3,
        "number": lambda: 3,
        "length": lambda: "12 mm +/- 1 mm",
        "day": lambda: "2026-01-02",
        "date": lambda: "1932-07",
        "person": lambda: "LM",
        "point": lambda: [10, 10],
        "outline": lambda: [[10, 10], [60, 10], [60, 60]],
        "language": lambda: "en",
        "ref": lambda: None,
    }[spec.type]()


def picture(path: Path, words: Words, place: str, seed: float) -> None:
    """A photograph with a word in every block of metadata that its format has."""
    rng = random.Random(seed)
    image = Image.frombytes("L", (90, 60), rng.randbytes(5400)).resize((900, 600))
    ImageDraw.Draw(image).text((60, 90), words.new(f"{place} pixels"), fill=255)

    def new(block: str) -> bytes:
        return words.new(f"{place} {block}").encode()

    thumbnail = io.BytesIO()
    image.resize((90, 60)).save(thumbnail, "JPEG", comment=new("comment of the thumbnail"))
    exif = piexif.dump(
        {
            "0th": {270: new("ImageDescription"), 315: new("Artist"), 305: new("Software"),
                    33432: new("Copyright"), 40092: new("XPComment").decode().encode("utf-16-le")},
            "Exif": {37500: new("MakerNote"), 37510: new("UserComment"), 42033: new("BodySerial")},
            "GPS": {29: new("GPSDateStamp"), 18: new("GPSMapDatum")},
            "1st": {},
            "thumbnail": thumbnail.getvalue(),
        }
    )  # fmt: skip
    xmp = b"<x:xmpmeta xmlns:x='adobe:ns:meta/'><!--" + new("XMP") + b"--></x:xmpmeta>"
    image.save(
        path, "JPEG", quality=90, exif=exif, xmp=xmp, comment=new("comment"),
        icc_profile=new("ICC") * 9,
    )  # fmt: skip
    with path.open("ab") as file:
        file.write(new("trailer"))


# The scanner ------------------------------------------------------------------------------------

DEEPEST = 3
_BASE64 = re.compile(rb"[A-Za-z0-9+/_-]{16,}={0,2}")


def found_in(folder: Path) -> dict[str, str]:
    """Secret word → the file that carries it, in any of the encodings, names of files included."""
    found: dict[str, str] = {}
    for path in sorted(folder.rglob("*")):
        name = path.relative_to(folder).as_posix()
        data = path.read_bytes() if path.is_file() else b""
        for word in words_in(name.encode() + b"\n" + data):
            found.setdefault(word, name)
    return found


def words_in(data: bytes) -> set[str]:
    """Every secret word in some bytes, however they are wrapped."""
    return {match.decode() for layer in _layers(data, 0) for match in WORD.findall(layer.lower())}


def _layers(data: bytes, depth: int) -> Iterator[bytes]:
    yield data
    if depth == DEEPEST:
        return
    for inner in _unwrapped(data):
        if inner and inner != data:
            yield from _layers(inner, depth + 1)


def _unwrapped(data: bytes) -> Iterator[bytes]:
    text = data.decode("latin-1")
    if "&" in text:
        yield html.unescape(text).encode("utf-8", "replace")
    if "%" in text:
        yield urllib.parse.unquote_to_bytes(text)
    if "\\u" in text or "\\x" in text:
        yield re.sub(
            r"\\u([0-9a-fA-F]{4})|\\x([0-9a-fA-F]{2})",
            lambda m: chr(int(m[1] or m[2], 16)),
            text,
        ).encode("utf-8", "replace")
    if b"z\0q\0" in data.lower():
        yield data.replace(b"\0", b"")
    yield from _inflated(data)
    for match in _BASE64.finditer(data):
        run = match[0].rstrip(b"=").translate(bytes.maketrans(b"-_", b"+/"))
        for start in range(4):  # what stands before it may be of the same alphabet: `/home/…`
            part = run[start:]
            part += b"A" * (len(part) % 4 == 1)
            try:
                yield base64.b64decode(part + b"=" * (-len(part) % 4))
            except (binascii.Error, ValueError):
                continue
    for match in re.finditer(rb"(?:[0-9a-fA-F]{2}){12,}", data):
        yield bytes.fromhex(match[0].decode())


def _inflated(data: bytes) -> Iterator[bytes]:
    for start in (m.start() for m in re.finditer(b"\x1f\x8b\x08|\x78[\x01\x5e\x9c\xda]", data)):
        try:
            if data[start] == 0x1F:
                yield zlib.decompressobj(31).decompress(data[start:], 1 << 22)
            else:
                yield zlib.decompressobj().decompress(data[start:], 1 << 22)
        except zlib.error:
            continue
    if b"PK\x03\x04" in data:
        try:
            with zipfile.ZipFile(io.BytesIO(data[data.index(b"PK\x03\x04") :])) as parcel:
                for name in parcel.namelist():
                    yield name.encode() + b"\n" + parcel.read(name)
        except (zipfile.BadZipFile, zlib.error, OSError):
            return


CHANNELS = {
    "text": "<p>{}</p>",
    "comment": "<!-- {} -->",
    "title": "<title>{}</title>",
    "alt": '<img alt="{}">',
    "aria": '<p aria-label="{}">',
    "class": '<p class="{}">',
    "id": '<p id="{}">',
    "data": '<p data-x="{}">',
    "href": '<a href="x/{}.html">',
    "anchor": '<a href="#{}">',
    "meta": '<meta content="{}">',
    "json": '{{"x": "{}"}}',
    "script": "var x = '{}';",
    "style": "a::after {{ content: '{}' }}",
    "csv": "a;{};b",
    "sitemap": "<loc>{}</loc>",
    "source map": "//# sourceMappingURL={}",
    "svg": "<svg><desc>{}</desc></svg>",
    "path": "/home/{}/content",
    "list": "{}.md 0123",
}
"""Where a word can stand in a text file."""


def encodings(word: str) -> Iterator[tuple[str, bytes]]:
    """A word in each encoding that the scanner undoes."""
    raw = word.encode()
    zipped = io.BytesIO()
    with zipfile.ZipFile(zipped, "w", zipfile.ZIP_DEFLATED) as parcel:
        parcel.writestr("a.txt", b"some text before " + raw)
    yield "plain", raw
    yield "capitals", word.upper().encode()
    yield "entities", "".join(f"&#{ord(c)};" for c in word).encode()
    yield "hex entities", "".join(f"&#x{ord(c):x};" for c in word).encode()
    yield "percent", "".join(f"%{ord(c):02X}" for c in word).encode()
    yield "escapes", "".join(f"\\u{ord(c):04x}" for c in word).encode()
    yield "utf-16", word.encode("utf-16-le")
    yield "utf-16 be", word.encode("utf-16-be")
    yield "base64", base64.b64encode(b"some text " + raw)
    yield "base64 of entities", base64.b64encode("".join(f"&#{ord(c)};" for c in word).encode())
    yield "url base64", base64.urlsafe_b64encode(b"\xff\xfe\xfd" + raw)
    yield "hex", raw.hex().encode()
    yield "gzip", gzip.compress(b"some text " + raw, mtime=0)
    yield "zlib", zlib.compress(b"some text " + raw)
    yield "pdf stream", b"%PDF-1.7 stream\n" + zlib.compress(b"BT " + raw) + b"\nendstream"
    yield "zip", zipped.getvalue()


def planted(words: Words) -> Iterator[tuple[str, str, str, bytes]]:
    """(word, what, name of a file, its bytes) for every channel and encoding, pictures too."""
    for channel, form in CHANNELS.items():
        before, after = form.format("\0").encode().split(b"\0")
        for encoding in dict(encodings("x")):
            word = words.new(channel)
            data = dict(encodings(word))[encoding]
            yield word, f"{channel}, {encoding}", "page.html", before + data + after
    for place in ("file", "folder"):
        word = words.new(place)
        yield word, place, f"{word}.html" if place == "file" else f"{word}/index.html", b"x"
    yield from _planted_pictures(words)


def _planted_pictures(words: Words) -> Iterator[tuple[str, str, str, bytes]]:
    image = Image.new("L", (16, 16))
    for block in ("Description", "MakerNote", "GPS", "comment", "xmp", "icc", "trailer"):
        word = words.new(block)
        raw = word.encode()
        more: dict[str, Any] = {
            "Description": {"exif": piexif.dump({"0th": {270: raw}})},
            "MakerNote": {"exif": piexif.dump({"Exif": {37500: raw}})},
            "GPS": {"exif": piexif.dump({"GPS": {29: raw}})},
            "comment": {"comment": raw},
            "xmp": {"xmp": raw},
            "icc": {"icc_profile": raw * 4},
        }.get(block, {})
        buffer = io.BytesIO()
        image.save(buffer, "JPEG", **more)
        data = buffer.getvalue() + (raw if block == "trailer" else b"")
        yield word, f"jpeg {block}", "p.jpg", data
    for block in ("text", "ztxt", "icc"):
        word = words.new(block)
        info = PngImagePlugin.PngInfo()
        info.add_text("x", f"before {word}", zip=block == "ztxt")
        buffer = io.BytesIO()
        if block == "icc":
            image.save(buffer, "PNG", icc_profile=word.encode() * 4)
        else:
            image.save(buffer, "PNG", pnginfo=info)
        yield word, f"png {block}", "p.png", buffer.getvalue()


def sums_of(files: Iterable[Path]) -> dict[str, bytes]:
    """The beginnings of each file's checksums (SHA-256, SHA-1, MD5), by what they are of."""
    found = {}
    for file in files:
        data = file.read_bytes()
        for kind in ("sha256", "sha1", "md5"):
            found[f"{kind} of {file.name}"] = hashlib.new(kind, data).hexdigest()[:8].encode()
    return found
