"""The known answer: cameras, transforms, projected points and outlines, written as truth.json."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import trimesh
from scipy.spatial import ConvexHull, QhullError

import dimensions as d
import documents
import model
import prints
import scene
from camera import Camera
from negatives import NEGATIVES, Negative
from paint import mark_box
from shapes import Piece

Array = np.ndarray
OUTLINED = (
    "float-port", "float-starboard", "wing-upper", "wing-lower", "cowl", "engine", "propeller",
    "fuselage", "fin-rudder", "tailplane", "cockpit-front", "cockpit-rear", "windscreen-front",
    "windscreen-rear", "strut-interplane-port", "strut-interplane-starboard", "cabane",
    "float-struts-port", "float-struts-starboard", "spreader", "water-rudder-port",
    "water-rudder-starboard", "camera-hatch", "exhaust", "wheel-port", "wheel-starboard",
    "undercarriage", "tail-skid", "boathook", "boarding-step", "venturi",
)  # fmt: skip
NEAR = 130.0  # a point this little behind a surface is on it


def occluders(pieces: list[Piece]) -> trimesh.Trimesh:
    """One triangle mesh of everything that hides what lies behind."""
    v, f, o = [], [], 0
    for p in pieces:
        if p.finish in ("glass", "wire"):
            continue
        v.append(p.vertices)
        for face in p.faces:
            f += [(o + face[0], o + face[k], o + face[k + 1]) for k in range(1, len(face) - 1)]
        o += len(p.vertices)
    return trimesh.Trimesh(np.concatenate(v), np.array(f), process=False)


def visible(mesh: trimesh.Trimesh, camera: Camera, points: Array, near: float = NEAR) -> Array:
    """Which points the camera sees, by ray."""
    ray = points - camera.position
    far = np.linalg.norm(ray, axis=1)
    unit = ray / far[:, None]
    hit, index, _ = mesh.ray.intersects_location(
        np.repeat(camera.position[None], len(points), 0), unit, multiple_hits=False)
    first = np.full(len(points), np.inf)
    if len(index):
        first[index] = np.linalg.norm(hit - camera.position, axis=1)
    front = (points - camera.position) @ camera.rotation[2] > 50
    return front & (first > far - near)


def side_y(x: Array, z: Array) -> Array:
    """Half the width of the fuselage skin at a side point."""
    s = np.clip(z / np.array([d.longeron_z(float(v)) for v in x]), 0, 1)
    w = np.array([d.half_width(float(v)) for v in x])
    return w * (1 - 0.04 * s) + 10 * np.sin(np.pi * s)


def painted(scheme: str) -> dict[str, Array]:
    """Sample points of the painted stripe and mark on either side of the fuselage."""
    m0, m1, zt, zb = mark_box()
    areas = {"mark": (m0, m1, zb, zt)}
    if scheme == "1932":
        areas["stripe"] = (-100.0, m0 - 130, -300 - d.STRIPE_WIDTH, -300.0)
    out = {}
    for name, (x0, x1, z0, z1) in areas.items():
        x, z = (a.ravel() for a in np.meshgrid(np.linspace(x0, x1, 30), np.linspace(z0, z1, 8)))
        for hand, s in (("port", -1), ("starboard", 1)):
            out[f"{name}-{hand}"] = np.column_stack([x, s * side_y(x, z), z])
    return out


def samples(pieces: list[Piece]) -> dict[str, Array]:
    """Points on each outlined component."""
    out = {}
    rng = np.random.default_rng(2)
    for name in OUTLINED:
        chosen = [p.vertices for p in pieces if p.component == name]
        if chosen:
            v = np.concatenate(chosen)
            out[name] = v if len(v) < 3500 else v[rng.choice(len(v), 3500, replace=False)]
    return out


def polygon(uv: Array, frame: tuple[int, int, int, int], most: int = 12) -> list[list[float]]:
    """Convex hull clipped to the picture, thinned to at most ``most`` corners."""
    x0, y0, x1, y1 = frame
    inside = (uv[:, 0] >= x0) & (uv[:, 0] <= x1) & (uv[:, 1] >= y0) & (uv[:, 1] <= y1)
    uv = uv[inside]
    if len(uv) < 8:
        return []
    try:
        h = uv[ConvexHull(uv).vertices]
    except QhullError:
        return []
    while len(h) > most:
        a, b = np.roll(h, 1, 0), np.roll(h, -1, 0)
        lost = np.abs((h[:, 0] - a[:, 0]) * (b[:, 1] - a[:, 1]) - (h[:, 1] - a[:, 1]) * (b[:, 0] - a[:, 0]))
        h = np.delete(h, int(np.argmin(lost)), 0)
    return [[round(float(x), 1), round(float(y), 1)] for x, y in h]


def through(m: Array, uv: Array) -> Array:
    """Pixels through a 3x3 transform."""
    q = np.column_stack([uv, np.ones(len(uv))]) @ m.T
    return q[:, :2] / q[:, 2:]


def of_view(camera: Camera, pieces: list[Piece], points: dict[str, tuple], extra: dict[str, Array]) -> dict:
    """Seen points and outline samples of one exposure, in negative pixels."""
    mesh = occluders(pieces)
    names = list(points)
    xyz = np.array([points[n] for n in names], float)
    seen = visible(mesh, camera, xyz)
    uv = camera.project(xyz)[:, :2]
    areas = {}
    for name, pts in {**samples(pieces), **extra}.items():
        ok = visible(mesh, camera, pts, 25.0)
        if ok.sum() > 12:
            areas[name] = camera.project(pts[ok])[:, :2]
    return {"points": {n: uv[k] for k, n in enumerate(names) if seen[k]}, "areas": areas}


def file_truth(view: dict, m: Array, frame: tuple[int, int, int, int]) -> dict:
    """Points and outlines of one file."""
    pts = {}
    for n, uv in view["points"].items():
        x, y = through(m, uv[None])[0]
        if frame[0] <= x <= frame[2] and frame[1] <= y <= frame[3]:
            pts[n] = [round(float(x), 2), round(float(y), 2)]
    outlines = {}
    for n, uv in view["areas"].items():
        poly = polygon(through(m, uv), frame)
        if len(poly) >= 3:
            outlines[n] = poly
    return {"points": dict(sorted(pts.items())), "outlines": outlines}


def camera_record(c: Camera) -> dict:
    return {
        "position_mm": [round(float(v), 2) for v in c.position],
        "rotation": [[round(float(v), 9) for v in row] for row in c.rotation],
        "focal_px": c.focal,
        "principal_point": list(c.centre),
        "size": list(c.size),
    }


def negative_record(neg: Negative, camera: Camera) -> dict:
    return {"date": neg.date, "state": neg.state, "place": neg.place, "film": neg.film,
            "mark": neg.mark, "scheme": neg.scheme, "camera": camera_record(camera)}


def whole() -> dict:
    """The full record."""
    import remains

    negatives, files = {}, {}
    for neg in NEGATIVES:
        pieces = scene.pieces_of(neg)
        camera, _ = scene.camera_of(neg, pieces)
        points = dict(model.points_in(neg.state))
        if "boathook" in neg.props:
            points |= scene.boathook_points()
        view = of_view(camera, pieces, points, painted(neg.scheme) if neg.mark else {})
        negatives[neg.id] = negative_record(neg, camera)
        for p in prints.PRINTS:
            if p.negative == neg.id:
                m = prints.matrix(p, neg.size)
                files[p.file] = print_record(p, m) | file_truth(view, m, prints.frame_of(p))
    for find in remains.FINDS:
        pieces = find.pieces()
        camera, _ = remains.camera_of(find, pieces)
        view = of_view(camera, pieces, find.points(), remains.outline_samples(pieces))
        p = remains.print_of(find)
        m = prints.matrix(p, find.size)
        negatives[find.id] = {"date": find.date, "state": "as-found", "place": "workshop", "film": "colour",
                              "mark": "", "scheme": "", "camera": camera_record(camera)}
        files[p.file] = print_record(p, m) | file_truth(view, m, prints.frame_of(p))
    files["doc-brochure-threeview.jpg"] = {
        "negative": None, "size": [1780, 2280], "pixels_per_mm": documents.THREEVIEW_SCALE,
        "lengths_drawn_times": documents.THREEVIEW_STRETCH, "outlines": {},
        "points": {n: [round(x, 2), round(y, 2)] for n, (x, y) in documents.three_view_points().items()},
    }  # fmt: skip
    return {
        "units": "mm and pixels; pixel (0, 0) is the top left corner of the file after its Exif "
                 "orientation is applied, never mirrored; centres of pixels lie at half-integers",
        "axes": "x aft, y to starboard, z up; datum firewall on the centre line, z = 0 at the upper longerons",
        "projection": "(x, y, z) = rotation @ (X - position_mm); u = cx + f x / z; v = cy + f y / z; "
                      "then the file's transform (3x3) from negative to file pixels",
        "dimensions": {k: round(v, 3) for k, v in d.named_dimensions().items()},
        "points": {s: {n: [round(float(c), 2) for c in p] for n, p in model.points_in(s).items()} for s in model.STATES},
        "finds": {f.id: {n: [round(float(c), 2) for c in p] for n, p in f.points().items()} for f in remains.FINDS},
        "negatives": negatives,
        "files": files,
    }


def print_record(p: prints.Print, m: Array) -> dict:
    return {"negative": p.negative, "size": list(p.size), "crop": list(p.crop), "flipped": p.flipped,
            "stretch": list(p.stretch), "turn_deg": p.turn_deg, "orientation": p.orientation,
            "picture": list(prints.frame_of(p)), "transform": [[round(float(v), 8) for v in r] for r in m]}


def write(path: Path) -> None:
    """Write truth.json."""
    path.write_text(json.dumps(whole(), indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
