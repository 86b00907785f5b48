"""Made-up scenes with a known answer, one for each way of measuring, drawn by chance.

Everything that a method allows for is drawn from what it allows: picks, survey, lens axis, stretch,
bend, lean, depth. Lengths are in millimetres, scans 3000 × 2000 px, cameras 8 to 20 m away.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from archive.core.allowances import BEND, BENDS_ON_PLANE
from archive.metrology import camera as cam
from archive.metrology import circle, line, measured_out, plane, scale, space
from archive.metrology.network import Priors
from archive.metrology.outcome import Outcome

SIZE = (3000.0, 2000.0)
DIAGONAL = float(np.hypot(*SIZE))
PICK_PX = 2.0
Chance = np.random.Generator
Case = tuple[Outcome, float]
"""What the method said, and the truth."""


def a_camera(
    chance: Chance,
    target: np.ndarray,
    stood: np.ndarray,
    off: float = 0.05,
    stretch: float = 0.005,
) -> np.ndarray:
    """A camera (11,) at `stood` that looks near `target`, upright but for some degrees."""
    look = target + chance.normal(0, 200, 3) - stood
    look /= np.linalg.norm(look)
    right = np.cross(look, [0, 0, 1.0])
    right /= np.linalg.norm(right)
    roll = chance.normal(0, 0.03)
    down = np.cross(look, right)
    c, s = np.cos(roll), np.sin(roll)
    turn = np.stack([c * right + s * down, c * down - s * right, look])
    out = np.zeros(cam.SIZE)
    distance = np.linalg.norm(target - stood)
    fills = chance.uniform(0.5, 0.9) * SIZE[0] / 7000 * distance
    out[cam.LOG_F] = np.log(np.clip(fills, 0.8 * SIZE[0], 4 * SIZE[0]))
    out[cam.STRETCH] = chance.normal(0, stretch)
    out[cam.CX] = SIZE[0] / 2 + chance.normal(0, off * DIAGONAL)
    out[cam.CY] = SIZE[1] / 2 + chance.normal(0, off * DIAGONAL)
    out[cam.TURN] = cam.rotation_vector(turn)
    out[cam.MOVE] = -turn @ stood
    out[cam.K1] = chance.normal(0, 0.02)
    return out


def around(chance: Chance, target: np.ndarray) -> np.ndarray:
    """A place for a camera: 8 to 20 m off, 20 to 70 degrees from square, near the ground."""
    bearing = np.radians(chance.uniform(20, 70)) * chance.choice([-1, 1])
    far = chance.uniform(8000, 20000)
    away = np.array([np.sin(bearing), -np.cos(bearing), 0.0]) * far
    return target + away + [0, 0, chance.uniform(-1500, 1500)]


def seen(camera: np.ndarray, points: np.ndarray, chance: Chance, px: float = PICK_PX) -> np.ndarray:
    """Picks (k, 2) of points (k, 3)."""
    return cam.project(camera, points)[0] + chance.normal(0, px, (len(points), 2))


def by_scale(
    chance: Chance, tilt_deg: float = 20.0, parallel: bool = True, depth: float = 50.0
) -> Case:
    """A thing of 1 to 2 m beside a rule of 1 m, on a plane that leans by up to `tilt_deg`."""
    tilt, lean = np.radians(chance.uniform(0, tilt_deg)), chance.uniform(0, 2 * np.pi)
    turn = cam.rotation(tilt * np.array([np.cos(lean), np.sin(lean), 0.0]))
    far = chance.uniform(8000, 20000)
    truth, known = chance.uniform(1000, 2000), 1000.0
    first = chance.uniform(0, np.pi)
    second = first + (np.radians(chance.uniform(-3, 3)) if parallel else chance.uniform(0, np.pi))
    at = np.radians(chance.uniform(0, 360))
    apart = chance.uniform(500, 1500)
    middles = [np.zeros(2), apart * np.array([np.cos(at), np.sin(at)])]
    thing, rule = [], []
    for ends, middle, way, length in (
        (thing, middles[0], first, truth),
        (rule, middles[1], second, known),
    ):
        for sign in (-0.5, 0.5):
            flat = middle + sign * length * np.array([np.cos(way), np.sin(way)])
            ends.append(turn @ np.array([*flat, 0.0]))
    off = chance.uniform(-depth, depth)
    points = np.array([*thing, *rule])
    points[:, 2] += far
    points[2:, 2] += off
    camera = np.zeros(cam.SIZE)
    camera[cam.LOG_F] = np.log(1.5 * SIZE[0])
    camera[cam.CX], camera[cam.CY] = np.array(SIZE) / 2
    camera[cam.STRETCH] = chance.normal(0, 0.005)
    camera[cam.K1] = chance.normal(0, 0.02)
    picks = seen(camera, points, chance)
    known_u = 2.0
    said = known + chance.normal(0, known_u)
    scene = scale.Scene(
        distance=far * (1 + chance.normal(0, 0.05)), distance_u=far * 0.05, nearer=0.0,
        nearer_u=0.0, depth_limit=depth, tilt=np.radians(tilt_deg), size=SIZE, label="p",
    )  # fmt: skip
    outcome = scale.beside(
        scale.Measure(picks[:2], ("pick|p|a", "pick|p|b"), PICK_PX),
        scale.Measure(picks[2:], ("pick|p|c", "pick|p|d"), PICK_PX),
        said,
        (("known|k|", known_u),),
        scene,
    )
    return outcome, float(truth)


def by_plane(
    chance: Chance, known: int = 6, sigma: float = 2.5, px: float = PICK_PX, bends: str = ""
) -> Case:
    """A length on the side plane y = 0 between known points on it.

    `px` is how good the picks really are; `bends` is "told" or "untold" for a wide lens that bows
    straight edges, as the lens of a photograph in `boards` does.
    """
    target = np.array([1500.0, 0, -500])
    camera = a_camera(chance, target, around(chance, target))
    if bends:
        near = target + (cam.centre(camera) - target) * chance.uniform(0.25, 0.4)
        camera = a_camera(chance, target, near)
        camera[cam.LOG_F] = np.log(chance.uniform(0.85, 1.1) * SIZE[0])
        camera[cam.K1] = chance.uniform(-0.25, 0.05)
    corners = np.array([[0, 0, 0], [3000, 0, 0], [3000, 0, -1000], [0, 0, -1000.0]])
    more = np.column_stack(
        [chance.uniform(0, 3000, 20), np.zeros(20), chance.uniform(-1000, 0, 20)]
    )
    points = np.vstack([corners, more])[:known]
    ends = np.column_stack(
        [chance.uniform(200, 2800, 2), np.zeros(2), chance.uniform(-900, -100, 2)]
    )
    while np.linalg.norm(ends[0] - ends[1]) < 500:
        ends[1] = [chance.uniform(200, 2800), 0, chance.uniform(-900, -100)]
    survey = points[:, [0, 2]] + chance.normal(0, sigma, (known, 2))
    surveyed = plane.Known(
        survey - survey.mean(0), np.full((known, 2), sigma), seen(camera, points, chance, px),
        [f"survey|s|{i}" for i in range(known)], [f"pick|p|{i}" for i in range(known)],
    )  # fmt: skip
    sought = plane.Sought(seen(camera, ends, chance, px), ["pick|p|a", "pick|p|b"], PICK_PX)
    truth = float(np.linalg.norm(ends[0] - ends[1]))
    bend = BENDS_ON_PLANE if bends == "told" else BEND
    return plane.length_on_plane(surveyed, sought, SIZE, bend), truth


def by_lengths(chance: Chance, sigma: float = 2.5) -> Case:
    """A length on a plane of which four sides and two diagonals of a panel are known."""
    target = np.array([1500.0, 0, -500])
    camera = a_camera(chance, target, around(chance, target))
    corners = np.array([[0, 0, 0], [3000, 0, 0], [3000, 0, -1000], [0, 0, -1000.0]])
    ends = np.array([[chance.uniform(200, 1200), 0, -200.0], [chance.uniform(1700, 2800), 0, -700]])
    points = np.vstack([corners, ends])
    stretches = []
    for number, (i, j) in enumerate([(0, 1), (1, 2), (2, 3), (3, 0), (0, 2), (1, 3)]):
        said = float(np.linalg.norm(points[i] - points[j])) + chance.normal(0, sigma)
        stretches.append(measured_out.Stretch(i, j, said, sigma, f"known|k{number}|"))
    labels = [f"pick|p|{i}" for i in range(6)]
    picks = seen(camera, points, chance)
    truth = float(np.linalg.norm(ends[0] - ends[1]))
    found = measured_out.length_by_lengths(picks, labels, stretches, (4, 5), PICK_PX, SIZE)
    return found, truth


def by_stations(chance: Chance, known: int = 5, sigma: float = 2.5) -> Case:
    """A place along a line of known stations."""
    target = np.array([1500.0, 0, 0])
    camera = a_camera(chance, target, around(chance, target))
    camera[cam.K1] = 0.0
    stations = np.linspace(0, 3500, known)
    ends = np.array([chance.uniform(0, 1000), chance.uniform(1500, 3500)])

    def on_line(places: np.ndarray) -> np.ndarray:
        return np.column_stack([places, np.zeros_like(places), np.zeros_like(places)])

    places = stations + chance.normal(0, sigma, known)
    surveyed = plane.Known(
        (places - places.mean())[:, None], np.full((known, 1), sigma),
        seen(camera, on_line(stations), chance),
        [f"survey|s|{i}" for i in range(known)], [f"pick|p|{i}" for i in range(known)],
    )  # fmt: skip
    sought = plane.Sought(seen(camera, on_line(ends), chance), ["pick|p|a", "pick|p|b"], PICK_PX)
    return line.length_on_line(surveyed, sought), float(ends[1] - ends[0])


def structure(chance: Chance, known: int) -> np.ndarray:
    """Joints of a frame 4.5 m long, about 0.9 m wide and 1 m deep: (known, 3)."""
    stations = np.array([0, 900, 1800, 2650, 3500, 4400.0])
    joints = [
        [x, side * (460 - 0.035 * x), z]
        for x in stations
        for side in (-1, 1)
        for z in (0.0, -1010 + 0.04 * x)
    ]
    chosen = chance.permutation(len(joints))[:known]
    return np.array(joints)[np.sort(chosen)]


def in_space(
    chance: Chance, way: str, known: int = 12, sigma: float = 2.5, photos: int = 1,
    cropped: bool = False, alike: float = 10.0, told: bool = True, px: float = PICK_PX,
    stretch: float = 0.005,
) -> Case:  # fmt: skip
    """A strut of 1.5 m out on the wing, by `way`: on-plane, symmetry or several.

    Not `told` is a crop that passes for the whole negative; `px` is how good the picks really are.
    """
    points = structure(chance, known)
    target = points.mean(0)
    prior = Priors(SIZE, middle=0.2 if cropped and told else 0.05, stretch=stretch)
    ends = np.array([[1100.0, -3900, -629], [657, -3900, 789]])
    if way == "symmetry":
        other = ends * [1, -1, 1] + chance.normal(0, alike, (2, 3))
    truth = float(np.linalg.norm(ends[0] - ends[1]))
    survey = points + chance.normal(0, sigma, points.shape)
    places = {
        f"k{i}": space.Place(at, np.full(3, sigma), f"survey|s|k{i}") for i, at in enumerate(survey)
    }
    views = []
    stood = around(chance, target)
    for number in range(photos):
        if number:
            swing = np.radians(chance.uniform(15, 40)) * chance.choice([-1, 1])
            c, s = np.cos(swing), np.sin(swing)
            stood = target + np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]]) @ (stood - target)
        camera = a_camera(chance, target, stood, 0.15 if cropped else 0.05, stretch)
        picks = {f"k{i}": at for i, at in enumerate(seen(camera, points, chance, px))}
        picks |= dict(zip(("a", "b"), seen(camera, ends, chance, px), strict=True))
        if way == "symmetry":
            picks |= dict(zip(("c", "d"), seen(camera, other, chance, px), strict=True))
        views.append(space.View(f"p{number}", prior, picks, PICK_PX))
    middle = np.array([0.0, 1.0, 0.0])
    flat = space.Plane(middle, -3900 + chance.normal(0, 10), 10.0, "flat|m|")
    mirror = space.Plane(middle, 0.0, alike, "mirror||")
    scene = space.Scene(
        places,
        tuple(views),
        on_plane={"a": flat, "b": flat} if way == "on-plane" else {},
        pairs=(("a", "c", mirror), ("b", "d", mirror)) if way == "symmetry" else (),
    )
    return space.length_in_space(scene, "a", "b"), truth


def by_circle(chance: Chance, arc: float = 330.0) -> Case:
    """A wheel of 800 mm beside a known length of 1 m in a plane parallel to its own.

    Twelve picks over `arc` degrees of its rim; 330 is all round.
    """
    target = np.array([500.0, -800, -1000])
    camera = a_camera(chance, target, around(chance, target))
    first = chance.uniform(0, 0.5 if arc == 330 else 2 * np.pi)
    angles = first + np.radians(np.linspace(0, arc, 12))
    wheel = np.array([350.0, -1070, -1760])
    rim = wheel + 400 * np.column_stack([np.cos(angles), np.zeros(12), np.sin(angles)])
    slant = np.radians(chance.uniform(-2, 2))
    top = np.array([400.0, -460, 0])
    foot = top + 1000 * np.array([0, np.sin(slant), -np.cos(slant)])
    stood = cam.centre(camera)
    turn = cam.rotation(camera[cam.TURN])[2]
    distance = float(turn @ (wheel - stood))
    nearer = distance - float(turn @ ((top + foot) / 2 - stood))
    scene = scale.Scene(
        distance=distance * (1 + chance.normal(0, 0.05)), distance_u=distance * 0.05,
        nearer=nearer + chance.normal(0, 50), nearer_u=50.0, depth_limit=0.0, tilt=0.0,
        size=SIZE, label="p",
    )  # fmt: skip
    rule = scale.Measure(seen(camera, np.array([top, foot]), chance), ("pick|p|t", "pick|p|f"), 2.0)
    labels = tuple(f"pick|p|r{i}" for i in range(12))
    said = 1000 + chance.normal(0, 2)
    outcome = circle.diameter(
        seen(camera, rim, chance), labels, rule, said, (("known|k|", 2.0),), scene, np.radians(2)
    )
    return outcome, 800.0


def case(make: Callable[[Chance], Case], **how: object) -> Callable[[Chance], Case]:
    """A maker with its settings filled in."""
    return lambda chance: make(chance, **how)  # type: ignore[call-arg]


METHODS: dict[str, Callable[[Chance], Case]] = {
    "scale, lean to 10°": case(by_scale, tilt_deg=10.0),
    "scale, lean to 20°": case(by_scale, tilt_deg=20.0),
    "scale, lean to 30°": case(by_scale, tilt_deg=30.0),
    "scale, any direction, lean to 20°": case(by_scale, parallel=False),
    "plane, 4 points": case(by_plane, known=4),
    "plane, 6 points": case(by_plane, known=6),
    "plane, 10 points": case(by_plane, known=10),
    "plane, 12 points, the lens bends": case(by_plane, known=12, bends="told"),
    "plane, by six lengths": by_lengths,
    "stations, 3": case(by_stations, known=3),
    "stations, 5": case(by_stations, known=5),
    "known plane, 8 points": lambda c: in_space(c, "on-plane", known=8),
    "known plane, 12 points": lambda c: in_space(c, "on-plane", known=12),
    "known plane, 12 points, cropped": lambda c: in_space(c, "on-plane", known=12, cropped=True),
    "known plane, 12 points, stretched 1.5 %": lambda c: in_space(
        c, "on-plane", known=12, stretch=0.015
    ),
    "two hands, 8 points": lambda c: in_space(c, "symmetry", known=8),
    "two hands, 12 points": lambda c: in_space(c, "symmetry", known=12),
    "two hands, 12 points, cropped": lambda c: in_space(c, "symmetry", known=12, cropped=True),
    "two photographs, 8 points": lambda c: in_space(c, "several", known=8, photos=2),
    "two photographs, 12 points": lambda c: in_space(c, "several", known=12, photos=2),
    "two photographs, 12 points, cropped": lambda c: in_space(
        c, "several", known=12, photos=2, cropped=True
    ),
    "two photographs, 12 points, stretched 1.5 %": lambda c: in_space(
        c, "several", known=12, photos=2, stretch=0.015
    ),
    "three photographs, 8 points": lambda c: in_space(c, "several", known=8, photos=3),
    "circle, whole rim": by_circle,
    "circle, 180° of the rim": case(by_circle, arc=180.0),
}
"""Every method with the settings that the manual's table lists."""

STRAINED: dict[str, Callable[[Chance], Case]] = {
    "picks of 4 px: plane, 4 points": case(by_plane, known=4, px=4.0),
    "picks of 4 px: plane, 6 points": case(by_plane, known=6, px=4.0),
    "picks of 4 px: plane, 10 points": case(by_plane, known=10, px=4.0),
    "picks of 4 px: known plane, 12 points": lambda c: in_space(c, "on-plane", known=12, px=4.0),
    "picks of 4 px: two hands, 12 points": lambda c: in_space(c, "symmetry", known=12, px=4.0),
    "picks of 4 px: two photographs, 12 points": lambda c: in_space(
        c, "several", known=12, photos=2, px=4.0
    ),
    "cropped, said to be whole: known plane, 12 points": lambda c: in_space(
        c, "on-plane", known=12, cropped=True, told=False
    ),
    "cropped, said to be whole: two hands, 12 points": lambda c: in_space(
        c, "symmetry", known=12, cropped=True, told=False
    ),
    "cropped, said to be whole: two photographs, 12 points": lambda c: in_space(
        c, "several", known=12, photos=2, cropped=True, told=False
    ),
    "the lens bends, nobody says so: plane, 4 points": case(by_plane, known=4, bends="untold"),
    "the lens bends, nobody says so: plane, 12 points": case(by_plane, known=12, bends="untold"),
    "picks on 140° of the rim": case(by_circle, arc=140.0),
}
"""What people get wrong without knowing: nothing here is as the record says."""
