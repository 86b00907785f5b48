"""The demonstration's papers: letters, a log, a notebook, a cutting, a three-view, a print's back."""

from __future__ import annotations

import textwrap
from pathlib import Path

import numpy as np
from PIL import Image, ImageChops, ImageDraw, ImageFilter

import dimensions as d
import model
from sheet import BLUE_INK, BOLD, BOOK, COURIER, GRAPHITE, HAND, INK, PEN, PENCIL, Sheet, face


def works_letter() -> Image.Image:
    s = Sheet("doc-works-letter", (1400, 1840), (231.0, 222.0, 196.0))
    s.printed("LUND & ASKE", 700, 96, BOLD, 78, "ma")
    s.printed("Builders of Aeroplanes and Floats", 700, 186, BOOK, 36, "ma")
    s.printed("The Works, Aske Quay.   Telegrams: Floats, Aske", 700, 236, BOOK, 27, "ma")
    s.rule(150, 290, 1250, 290, 2, INK)
    s.typed(["Our ref. T6/114                     3rd May, 1932."], 150, 350, 31, 44)
    s.typed(["The Hollin Survey,", "Boathouse Road,", "Hollin Water."], 150, 444, 31, 44)
    body = (
        "Gentlemen,\n\n"
        "Type 6 Twin-Float Biplane, QK-41: floats.\n\n"
        "In answer to yours of the 28th ult. we confirm that the chine angles of both floats are "
        "closed with two rows of snap head rivets at a pitch of 7/8 inch, the rows staggered, from "
        "the bow plate to the stern post. Your man will have no need of any other pitch when he "
        "comes to make good a chine at the lake.\n\n"
        "The floats go to you by rail in the first week of June, with the spreader bars and the "
        "water rudders boxed apart. The machine itself will fly over on her wheels and our Mr. "
        "Hald will see the change made on your slip.\n\n"
        "We remain, Gentlemen,\n                    Yours faithfully,\n                    for LUND & ASKE"
    )
    y = 610.0
    for para in body.split("\n"):
        for line in textwrap.wrap(para, 56, drop_whitespace=False) if not para.startswith(" ") and para else [para]:
            s.typed([line.strip() if not para.startswith("  ") else line], 150, y, 31, 44)
            y += 44
    s.written(["K. Hald"], 640, y + 10, HAND, 58, 60, BLUE_INK)
    s.typed(["Drawing Office"], 570, y + 130, 31, 44)
    im, dr = s.layer()
    dr.rounded_rectangle([930, 1610, 1270, 1730], 12, outline=210, width=5)
    dr.text((1100, 1634), "RECEIVED", font=face(BOLD, 38), fill=210, anchor="ma")
    dr.text((1100, 1680), "5 MAY 1932", font=face(BOLD, 32), fill=210, anchor="ma")
    s.ink(im.rotate(3, center=(1100, 1670)), (126, 40, 58), 0.45)
    for x in (52,):
        for yy in (640, 1210):
            im, dr = s.layer()
            dr.ellipse([x - 17, yy - 17, x + 17, yy + 17], fill=255)
            s.ink(im, (60, 55, 52), 0.0)
    s.folds()
    return s.on_table(50)


def log_1933() -> Image.Image:
    s = Sheet("doc-log-1933", (1500, 1780), (226.0, 218.0, 190.0))
    for k in range(31):
        s.sheet[190 + 50 * k : 192 + 50 * k, 60:1440] -= np.array([60.0, 40.0, 14.0])
    for x in (240, 1190, 1310):
        s.sheet[120:1740, x : x + 3] -= np.array([14.0, 60.0, 60.0])
    s.printed("THE HOLLIN SURVEY.   MACHINE LOG.   QK-41", 750, 44, BOLD, 40, "ma")
    for text, x in (("Date, 1933", 70), ("Work done", 270), ("Hours", 1205), ("By", 1330)):
        s.printed(text, x, 138, BOOK, 30)
    rows = [
        ("9 May", "Floats pumped, stb'd no. 3 weeping at step. Red lead", "4", "A.V."),
        ("16 May", "Wires trued. Plugs. Flew Survey line 12, 2 h 10", "", "A.V."),
        ("2 June", "Water rudders will not bite in a following wind,", "", ""),
        ("", "she swings off the mooring. Told office again", "", "P.O."),
        ("19 June", "Both water rudder posts drawn & taken to smithy", "6", "A.V."),
        ("24 June", "Posts lengthened 8 5/8 in. with inside plug and", "", ""),
        ("", "outside sleeve 9 1/2 in. long, two 5/16 bolts each", "11", "A.V."),
        ("26 June", "Posts back, blades as before. Cables let out.", "5", "A.V."),
        ("", "Turns inside two lengths now, both hands", "", "P.O."),
        ("4 July", "Survey line 14, plates 212 to 260", "", "P.O."),
        ("18 July", "Port blade bent on shingle, beaten flat", "2", "A.V."),
        ("1 Aug", "Oil, filters, new shackle to port spreader wire", "3", "A.V."),
        ("", "", "", ""),
        ("12 Aug", "Works' man here. Does not like our posts but", "", ""),
        ("", "allows they answer", "", "P.O."),
    ]
    y = 200
    for date, what, hours, by in rows:
        for text, x in ((date, 70), (what, 258), (hours, 1230), (by, 1326)):
            if text:
                s.written([text], x, y - 12, PEN, 43, 50, BLUE_INK if "Works" not in what and "allows" not in what else INK, -0.003, 0.25)
        y += 100 if not date and what.startswith(("she", "outside", "Turns")) else 72
    s.ring(1130, 1560, 120)
    return s.on_table(46, turn=-0.5)


def notebook() -> Image.Image:
    s = Sheet("doc-notebook", (1080, 1560), (233.0, 226.0, 203.0), 1.2)
    for k in range(24):
        s.sheet[170 + 56 * k : 172 + 56 * k, :] -= np.array([42.0, 26.0, 8.0])
    s.sheet[:, 130:133] -= np.array([10.0, 60.0, 60.0])
    y = s.written(["Mon. 6 June 1932. Aske", "wind SW 3, low cloud on the fell", "2 landings wheels.  oil 62"], 160, 96, PENCIL, 66, 56, GRAPHITE, -0.004)
    y = s.written(["Tues.", "gap struts 4 ft 10 1/2,", "stiffer struts up, Tues.", "(old ones same, but whippy)"], 160, y + 66, PENCIL, 72, 60, GRAPHITE, -0.006)
    im, dr = s.layer()
    dr.line([(300, y + 60), (300, y + 300)], fill=200, width=5)
    dr.line([(292, y + 60), (420, y + 60)], fill=200, width=5)
    dr.line([(292, y + 300), (460, y + 300)], fill=200, width=5)
    dr.line([(380, y + 62), (412, y + 298)], fill=230, width=7)
    dr.line([(388, y + 62), (420, y + 298)], fill=230, width=4)
    for a, b in (((480, y + 64), (480, y + 296)),):
        dr.line([a, b], fill=200, width=3)
        for q, sg in ((a, 1), (b, -1)):
            dr.line([q, (q[0] - 9, q[1] + 20 * sg)], fill=200, width=3)
            dr.line([q, (q[0] + 9, q[1] + 20 * sg)], fill=200, width=3)
    s.ink(im, GRAPHITE, 0.4, 0.9)
    s.written(["4-10 1/2", "pin to pin"], 510, y + 110, PENCIL, 62, 58, GRAPHITE)
    s.written(["front port first.  H. says rear as", "front but for the lug", "Sat. 11th floats on, lake"], 160, y + 340, PENCIL, 66, 58, GRAPHITE, -0.004)
    s.ring(820, 1340, 105)
    return s.on_table(90, (44.0, 40.0, 38.0), 1.1, 1.8)


def permission() -> Image.Image:
    s = Sheet("doc-permission", (1300, 1760), (240.0, 238.0, 231.0), 0.3)
    s.printed("HOLLIN DISTRICT ARCHIVE", 110, 90, BOLD, 46)
    s.printed("Picture and Manuscript Room", 110, 148, BOOK, 31)
    s.rule(110, 205, 1190, 205, 3, (46, 74, 92), 0.05)
    text = (
        "14 January 2027\n\nTo: Ragna Oss, for the QK-41 rebuilding group\n\n"
        "Permission no. HD 27/031\nPicture: slipway, Hollin Water, 14 June 1932 (one print and its scan)\n\n"
        "We are glad to let the group use the picture above, as follows.\n\n"
        "1.  Exhibit panels only, in the museum at Hollin Water, for as long as the aeroplane is shown there.\n"
        "2.  The picture is to be shown whole. No overprinting: no lettering, arrows or colour laid over it, and no tinting.\n"
        "3.  Not for the web, nor for books, leaflets or goods, without a further letter from us.\n"
        "4.  Credit line: Hollin District Archive.\n\n"
        "The scan may be studied and measured by the group without limit; that is research, not publication.\n\n"
        "For the Archive"
    )
    y = 260.0
    for para in text.split("\n"):
        for line in textwrap.wrap(para, 62) or [""]:
            s.typed([line], 110, y, 28, 42, (30, 30, 34), COURIER)
            y += 43
    s.written(["E. Rask"], 130, y + 6, HAND, 54, 60, BLUE_INK)
    s.folds()
    return s.on_table(44, (92.0, 94.0, 96.0), -0.3, 0.6)


def owner_letter() -> Image.Image:
    s = Sheet("doc-owner-letter", (1300, 1640), (243.0, 241.0, 236.0), 0.25)
    s.written(["Aske,  20 July 2026"], 720, 100, PEN, 58, 66, BLUE_INK)
    text = [
        "Dear Hanne,", "", "Thank you for showing me the port cowl and the card", "for it. Yes: it may go back on the aeroplane,",
        "repaired as you propose, and the patch at the lower", "edge may be put on, so long as", "",
        "  - it can be taken off again without harm,", "  - what Leif cuts away (40 by 60, you said) is kept",
        "     with its tag and not thrown out,", "  - the hammer marks stay. They are hers.", "",
        "I do not want the float deck drilled. If the card asks", "for it, ask me first.", "", "With good wishes,",
    ]
    y = s.written(text, 110, 240, PEN, 47, 70, BLUE_INK)
    s.written(["Oda Wiik"], 560, y + 10, HAND, 60, 60, BLUE_INK)
    s.folds((0.5,))
    return s.on_table(44, (88.0, 84.0, 78.0), 0.6, 0.8)


def caption_back() -> Image.Image:
    s = Sheet("doc-caption-back", (1600, 1060), (224.0, 213.0, 186.0), 1.3)
    for k in range(6):
        for j in range(4):
            im, dr = s.layer()
            dr.text((150 + 300 * k + (j % 2) * 120, 130 + 270 * j), "BROMIDE", font=face(BOOK, 34), fill=120)
            s.ink(im.rotate(18), (168, 158, 138), 0.5)
    im, dr = s.layer()
    dr.ellipse([1020, 560, 1400, 860], outline=230, width=6)
    dr.ellipse([1038, 576, 1382, 844], outline=200, width=3)
    for text, y, size in (("THE HOLLIN SURVEY", 622, 32), ("18 JUN 1932", 682, 46), ("PLATE STORE", 760, 32)):
        dr.text((1210, y), text, font=face(BOLD, size), fill=230, anchor="ma")
    s.ink(im.rotate(-9, center=(1210, 710)), (72, 54, 120), 0.5, 0.9)
    s.written(["Slipway, third day on floats.", "QK-41.  14 June", "neg. 7 of roll 3"], 150, 170, PENCIL, 92, 96, GRAPHITE, -0.02)
    s.written(["print no. 2, damp stretched"], 170, 830, PENCIL, 62, 60, GRAPHITE, -0.01)
    s.written(["1933?"], 1240, 210, PEN, 76, 60, BLUE_INK)
    for x, y in ((60, 60), (1540, 60), (60, 1000), (1540, 1000)):
        im, dr = s.layer()
        dr.polygon([(x - 46, y - 40), (x + 44, y - 46), (x + 50, y + 38), (x - 40, y + 48)], fill=150)
        s.ink(im, (172, 140, 96), 0.5, 2.0)
    return s.on_table(46, turn=-0.4, torn=2.0)


FILLER = (
    "The aeroplane was built at Aske Quay and passed her trials on wheels in April. She is to be put on floats at the lake and will "
    "carry a camera in her floor, by which the fells are to be laid down on paper from the air. The Survey holds that a season will "
    "suffice for the country about the head of Hollin Water, if the weather allows. Two are carried, the pilot before and the "
    "observer behind, who changes the plates. The engine has seven cylinders and is cooled by the air alone. The makers say "
    "she will leave the water in the time it takes to read this sentence, and those who saw her over the quay are ready to believe it. "
    "A second machine of the same kind is spoken of, should the first answer. The floats are of metal throughout, riveted like a boat, "
    "and the hull plates no thicker than a visiting card. Visitors to the slip are asked to keep behind the rope. ")


def column(s: Sheet, text: str, x: float, y: float, width: int, bottom: float, size: int = 25) -> str:
    """Set justified newspaper text; give back what did not fit."""
    im, dr = s.layer()
    f = face(BOOK, size)
    words = text.split()
    lead = size * 1.16
    while words and y + lead < bottom:
        line = []
        while words and f.getlength(" ".join([*line, words[0]])) <= width:
            line.append(words.pop(0))
        if not line:
            break
        gap = (width - sum(f.getlength(w) for w in line)) / max(1, len(line) - 1)
        gap = gap if words else f.getlength(" ")
        cx = x
        for w in line:
            dr.text((cx, y), w, font=f, fill=255)
            cx += f.getlength(w) + gap
        y += lead
    s.ink(im, (46, 40, 36), 0.28, 0.55)
    return " ".join(words)


def cutting(photos: Path) -> Image.Image:
    s = Sheet("doc-cutting-1932", (1560, 2100), (214.0, 198.0, 158.0), 1.5)
    s.printed("THE HOLLIN AND ASKE MERCURY", 780, 40, BOLD, 62, "ma")
    s.rule(50, 124, 1510, 124, 3, INK)
    s.printed("Saturday, 16 July 1932", 60, 132, BOOK, 29)
    s.printed("Page 3", 1500, 132, BOOK, 29, "ra")
    s.rule(50, 176, 1510, 176, 2, INK)
    s.printed("MAPPING THE FELLS FROM THE AIR", 780, 200, BOLD, 66, "ma")
    s.printed("AN AEROPLANE FOR THE LAKE", 780, 286, BOOK, 42, "ma")
    path = photos / "works-apron-halftone.jpg"
    y0 = 360
    if path.exists():
        pic = np.asarray(Image.open(path).convert("L").resize((1456, 1010), Image.Resampling.LANCZOS), float)
        ink = np.clip((pic - 18) / 178, 0.14, 1)[..., None]
        s.sheet[y0 : y0 + 1010, 52:1508] = s.sheet[y0 : y0 + 1010, 52:1508] * ink
    rest = FILLER * 3
    for k in range(3):
        x = 56 + 492 * k
        rest = column(s, rest, x, y0 + 1032, 456, 2070)
        if k:
            s.rule(x - 18, y0 + 1036, x - 18, 2064, 2, INK)
    s.folds((0.46,), (0.52,))
    return s.on_table(60, (66.0, 62.0, 60.0), 0.7, 5.0)


THREEVIEW_SCALE, THREEVIEW_STRETCH, THREEVIEW_MARGIN = 0.098, 1.03, 40
THREEVIEW_AT = {"side": (430, 560), "front": (850, 1000), "plan": (850, 1180)}


def three_view_points() -> dict[str, tuple[float, float]]:
    """Pixels of points on the finished three-view: centre-line points on the side view, tips on the plan."""
    k, stretch, m = THREEVIEW_SCALE, THREEVIEW_STRETCH, THREEVIEW_MARGIN
    out = {}
    for name, (x, y, z) in model.points_in("survey-1932").items():
        if name in ("hub-centre", "fin-top", "rudder-trailing-edge", "cowl-front-top", "float-port-bow", "float-port-stern"):
            at = THREEVIEW_AT["side"]
            out[name] = (x * k * stretch + at[0] + m, -z * k + at[1] + m)
        elif name.startswith(("wing-upper-tip", "tailplane-tip")):
            at = THREEVIEW_AT["plan"]
            out[name] = (y * k + at[0] + m, x * k * stretch + at[1] + m)
    return out


def three_view() -> Image.Image:
    """A brochure's three-view: outlines of the survey state, drawn 3 % long."""
    s = Sheet("doc-brochure-threeview", (1700, 2200), (232.0, 224.0, 202.0), 1.0)
    k, stretch = THREEVIEW_SCALE, THREEVIEW_STRETCH
    pieces = [p for p in model.build("survey-1932") if p.finish not in ("wire", "glass")]
    views = {
        "side": (lambda v: (v[:, 0] * stretch, -v[:, 2]), lambda v: -v[:, 1], THREEVIEW_AT["side"]),
        "front": (lambda v: (-v[:, 1], -v[:, 2]), lambda v: -v[:, 0], THREEVIEW_AT["front"]),
        "plan": (lambda v: (v[:, 1], v[:, 0] * stretch), lambda v: v[:, 2], THREEVIEW_AT["plan"]),
    }
    big = 2
    for flat, depth, at in views.values():
        ink = Image.new("L", (s.size[0] * big, s.size[1] * big), 0)
        groups: dict[str, list] = {}
        for p in pieces:
            groups.setdefault(p.component + p.finish * (p.component in ("fin-rudder",)), []).append(p)
        order = sorted(groups, key=lambda g: np.median(np.concatenate([depth(p.vertices) for p in groups[g]])))
        for g in order:
            mask = Image.new("L", ink.size, 0)
            dr = ImageDraw.Draw(mask)
            for p in groups[g]:
                x, y = flat(p.vertices)
                xy = np.stack([(x * k + at[0]) * big, (y * k + at[1]) * big], 1)
                for f in p.faces:
                    dr.polygon([tuple(xy[i]) for i in f], fill=255)
            line = ImageChops.subtract(mask.filter(ImageFilter.MaxFilter(5)), mask.filter(ImageFilter.MinFilter(3)))
            ink.paste(0, mask=mask)
            ink = ImageChops.lighter(ink, line)
        s.ink(ink.resize(s.size, Image.Resampling.LANCZOS), (30, 30, 40), 0.12, 0.4)
    s.printed("LUND & ASKE TYPE 6", 850, 90, BOLD, 66, "ma")
    s.printed("Twin-float survey biplane", 850, 172, BOOK, 40, "ma")
    x0, x1 = 430 + d.HUB_X * k * stretch, 430 + (d.HUB_X + d.OVERALL_LENGTH) * k * stretch
    for a, b, y, text in ((x0, x1, 868, "Length 30 ft. 10 in."), (850 - d.UPPER_SPAN / 2 * k, 850 + d.UPPER_SPAN / 2 * k, 2140, "Span 40 ft. 0 in.")):
        im, dr = s.layer()
        dr.line([(a, y), (b, y)], fill=230, width=2)
        for x, sg in ((a, 1), (b, -1)):
            dr.polygon([(x, y), (x + 18 * sg, y - 5), (x + 18 * sg, y + 5)], fill=230)
            dr.line([(x, y - 24), (x, y + 12)], fill=200, width=2)
        s.ink(im, (30, 30, 40), 0.1, 0.4)
        s.printed(text, (a + b) / 2, y - 36, BOOK, 30, "ma")
    specs = ["Two seats.", "Seven-cylinder", "air-cooled engine.", "Metal floats.", "Camera hatch", "in the floor."]
    for i, line in enumerate(specs):
        s.printed(line, 1330, 1500 + 44 * i, BOOK, 32)
    s.folds((0.5,))
    return s.on_table(THREEVIEW_MARGIN, (120.0, 116.0, 108.0), 0.0, 1.0)


def write_all(photos: Path) -> None:
    """Write the eight papers as JPEG."""
    made = {
        "doc-works-letter": works_letter, "doc-log-1933": log_1933, "doc-notebook": notebook,
        "doc-permission": permission, "doc-owner-letter": owner_letter, "doc-caption-back": caption_back,
        "doc-cutting-1932": lambda: cutting(photos), "doc-brochure-threeview": three_view,
    }  # fmt: skip
    for name, make in made.items():
        make().save(photos / f"{name}.jpg", quality=80, optimize=True, progressive=True, dpi=(200, 200))
