"""Projective geometry against published numbers and exact vectors."""

from __future__ import annotations

import json
from pathlib import Path

import cv2
import numpy as np
import pytest

from archive.metrology import camera as cam
from archive.metrology import space
from archive.metrology.network import Network, Priors
from archive.metrology.plane import Known, Sought, plane_problem
from archive.metrology.projective import carried, homography
from archive.metrology.solve import descend, fit
from archive.metrology.starts import find_cameras

VECTORS = json.loads((Path(__file__).parent / "projective_vectors.json").read_text("utf-8"))

HELD = (
    cv2.CALIB_USE_INTRINSIC_GUESS | cv2.CALIB_FIX_PRINCIPAL_POINT | cv2.CALIB_FIX_ASPECT_RATIO
    | cv2.CALIB_ZERO_TANGENT_DIST | cv2.CALIB_FIX_K1 | cv2.CALIB_FIX_K2 | cv2.CALIB_FIX_K3
)  # fmt: skip
"""What our camera holds too where it is compared with OpenCV's: f alone is free."""


def of(name, key):
    return np.array(VECTORS[name][key], float)


def test_a_camera_matrix_taken_apart():
    """Hartley & Zisserman, Multiple View Geometry, 2nd ed. (2004), example 6.2, page 163."""
    p = np.array(
        [
            [3.53553e2, 3.39645e2, 2.77744e2, -1.44946e6],
            [-1.03528e2, 2.33212e1, 4.59607e2, -6.32525e5],
            [7.07107e-1, -3.53553e-1, 6.12372e-1, -9.18559e2],
        ]
    )
    inner, turn, stood = cam.taken_apart(p)
    assert stood == pytest.approx([1000, 2000, 1500], abs=0.01)
    wanted = [[468.2, 91.2, 300.0], [0, 427.2, 200.0], [0, 0, 1]]
    assert inner == pytest.approx(np.array(wanted), abs=0.1)
    rows = [[0.41380, 0.90915, 0.04708], [-0.57338, 0.22011, 0.78917], [0.70711, -0.35355, 0.61237]]
    assert turn == pytest.approx(np.array(rows), abs=2e-5)
    assert np.linalg.det(turn) == pytest.approx(1)
    assert cam.taken_apart(-p)[0] == pytest.approx(inner)


def square_to_quad(corners):
    """H from the unit square (0,0) (1,0) (1,1) (0,1) to four corners (4, 2), in closed form:
    P. Heckbert, Fundamentals of Texture Mapping and Image Warping (1989) (from memory)."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = corners
    dx1, dx2, sx = x1 - x2, x3 - x2, x0 - x1 + x2 - x3
    dy1, dy2, sy = y1 - y2, y3 - y2, y0 - y1 + y2 - y3
    below = dx1 * dy2 - dx2 * dy1
    g, h = (sx * dy2 - dx2 * sy) / below, (dx1 * sy - sx * dy1) / below
    return np.array(
        [
            [x1 - x0 + g * x1, x3 - x0 + h * x3, x0],
            [y1 - y0 + g * y1, y3 - y0 + h * y3, y0],
            [g, h, 1.0],
        ]
    )


SQUARE = np.array([[0, 0], [1, 0], [1, 1], [0, 1.0]])


def test_the_square_to_a_quadrilateral():
    """The direct linear transform gives Heckbert's closed form, and the vector's numbers."""
    src, dst = of("homography", "src"), of("homography", "dst")
    assert square_to_quad(dst) == pytest.approx(of("homography", "H"), abs=1e-9)
    assert homography(src, dst) == pytest.approx(of("homography", "H"), abs=1e-9)
    centre = carried(homography(src, dst), np.array([0.5, 0.5]))
    assert centre == pytest.approx(of("homography", "centre_of_square_maps_to"), abs=1e-9)
    chance = np.random.default_rng(9)
    for _ in range(50):
        quad = SQUARE * chance.uniform(100, 900, 2) + chance.uniform(-40, 40, (4, 2))
        assert homography(SQUARE, quad) == pytest.approx(square_to_quad(quad), rel=1e-6, abs=1e-9)


def test_the_centre_of_a_square_is_where_its_diagonals_cross():
    quad = np.array([[10, 20], [300, 40], [280, 220], [30, 190.0]])
    a, b = np.append(quad[0], 1), np.append(quad[2], 1)
    c, d = np.append(quad[1], 1), np.append(quad[3], 1)
    cross = np.cross(np.cross(a, b), np.cross(c, d))
    middle = carried(homography(SQUARE, quad), np.array([0.5, 0.5]))
    assert middle == pytest.approx(cross[:2] / cross[2])


def height_ratio(horizon, upright, base, top):
    """α Z = −‖b × t‖ / ((l · b) ‖v × t‖): A. Criminisi, I. Reid & A. Zisserman, Single View
    Metrology, IJCV 40(2):123-148 (2000), equation 10 (from memory). `horizon` is the ground's
    vanishing line and `upright` the vanishing point of heights, homogeneous."""
    b, t = np.append(base, 1.0), np.append(top, 1.0)
    unit = horizon / np.linalg.norm(horizon)
    above = np.linalg.norm(np.cross(b, t))
    return float(-above / ((unit @ b) * np.linalg.norm(np.cross(upright, t))))


def test_a_height_over_the_ground():
    """A pole by our camera, found from eight corners of a box, and by the single-view formula from
    horizon, vanishing point and one known height: 2.345 both (the picture is made up)."""
    horizon, upright = of("criminisi", "vanishing_line"), of("criminisi", "v_vertical_h")
    known = of("criminisi", "ref_base"), of("criminisi", "ref_top")
    scale = height_ratio(horizon, upright, *known) / VECTORS["criminisi"]["ref_height"]
    assert scale == pytest.approx(VECTORS["criminisi"]["alpha"], abs=1e-9)
    base, top = of("criminisi", "base"), of("criminisi", "top")
    formula = height_ratio(horizon, upright, base, top) / scale
    assert formula == pytest.approx(2.345, abs=1e-9)

    p = of("criminisi", "P")
    ground = np.linalg.solve(p[:, [0, 1, 3]], np.append(base, 1.0))
    stands = space.Plane(np.array([0, 1.0, 0]), ground[1] / ground[2], 1e-7, "flat||")
    corners, pixels = of("resection", "X"), of("resection", "x")
    places = {
        f"k{i}": space.Place(at, np.full(3, 1e-7), f"s|s|k{i}") for i, at in enumerate(corners)
    }
    picks = {f"k{i}": at for i, at in enumerate(pixels)} | {"base": base, "top": top}
    view = space.View("p", Priors((1920, 1440)), picks, 1e-3)
    found = space.length_in_space(
        space.Scene(places, (view,), {"base": stands, "top": stands}), "base", "top"
    )
    assert found.value == pytest.approx(formula, abs=1e-4)


def test_eight_corners_of_a_box_find_the_camera():
    points, pixels = of("resection", "X"), of("resection", "x")
    p = cam.direct(points, pixels)
    inner, _, stood = cam.taken_apart(p)
    assert stood == pytest.approx(of("resection", "C"), abs=1e-6)
    assert inner == pytest.approx(of("resection", "K"), abs=1e-4)
    camera = find_cameras(points, pixels, (1920, 1440), 1e-3)[0][0]
    assert cam.centre(camera) == pytest.approx(of("resection", "C"), abs=1e-5)
    assert np.exp(camera[cam.LOG_F]) == pytest.approx(1500, abs=1e-2)


def test_a_point_in_two_pictures_and_its_first_order_error():
    matrices = np.array([of("triangulation", "P1"), of("triangulation", "P2")])
    pixels = np.array([of("triangulation", "x1"), of("triangulation", "x2")])
    point = cam.triangulated(matrices, pixels)
    assert point == pytest.approx(of("triangulation", "X"), abs=1e-9)
    rows = []
    for p in matrices:
        inner, turn, stood = cam.taken_apart(p)
        camera = np.zeros(cam.SIZE)
        camera[cam.LOG_F] = np.log(inner[0, 0] * inner[1, 1]) / 2
        camera[cam.CX], camera[cam.CY] = inner[0, 2], inner[1, 2]
        camera[cam.TURN], camera[cam.MOVE] = cam.rotation_vector(turn), -turn @ stood
        seen, _, by_point = cam.project(camera, point[None])
        assert seen[0] == pytest.approx(pixels[len(rows) // 2], abs=1e-6)
        rows += [by_point[0, 0], by_point[0, 1]]
    design = np.array(rows)
    sd = np.sqrt(np.diag(np.linalg.inv(design.T @ design)))
    assert sd == pytest.approx(of("triangulation", "sd_first_order_1px"), rel=1e-6)


@pytest.mark.parametrize("count", [4, 6, 10, 25])
def test_what_is_left_over_of_a_homography(count):
    """H&Z, result 5.2: residual σ√(1 − 4/n), error of the fit σ√(4/n) (from memory)."""
    chance = np.random.default_rng(count)
    h = np.array([[0.3, 0.02, 400], [-0.03, 0.28, 700], [1e-5, -2e-5, 1]])
    left = fitted = 0.0
    runs = 150
    for _ in range(runs):
        at = chance.uniform(-1500, 1500, (count, 2))
        true = carried(h, at)
        pixels = true + chance.normal(0, 1, true.shape)
        labels = [f"p|p|{i}" for i in range(count)]
        known = Known(at, np.full(at.shape, 1e-6), pixels, labels, labels)
        sought = Sought(pixels[:1], ["p|p|s"], 1.0)
        start = homography(at, pixels)
        problem, x0 = plane_problem(known, sought, (3000, 2000), 1e-9, start)
        x, _ = descend(problem, x0[None])
        seen = carried(np.append(x[0][:8], 1).reshape(3, 3), at)
        left += float(np.mean((seen - pixels) ** 2)) / runs
        fitted += float(np.mean((seen - true) ** 2)) / runs
    assert np.sqrt(left) == pytest.approx(np.sqrt(1 - 4 / count), abs=0.06)
    assert np.sqrt(fitted) == pytest.approx(np.sqrt(4 / count), abs=0.08)


@pytest.mark.parametrize("count", [6, 10, 25])
def test_what_is_left_over_where_both_places_are_in_error(count):
    """H&Z, 5.1.3: residual σ√((n − 4)/2n), error of the fit σ√((n + 4)/2n), over both (from
    memory)."""
    chance = np.random.default_rng(count)
    h = np.array([[1, 0.02, 4], [-0.02, 1, 7], [1e-6, -2e-6, 1]])
    labels = [f"p|p|{i}" for i in range(count)]
    left = fitted = 0.0
    runs = 150
    for _ in range(runs):
        at = chance.uniform(-1500, 1500, (count, 2))
        true = carried(h, at)
        places, pixels = (each + chance.normal(0, 1, each.shape) for each in (at, true))
        known = Known(places, np.ones(at.shape), pixels, labels, labels)
        sought = Sought(pixels[:1], ["p|p|s"], 1.0)
        problem, x0 = plane_problem(known, sought, (3000, 2000), 1e-9, homography(places, pixels))
        x, _ = descend(problem, x0[None])
        on_plane = x[0][9 : 9 + 2 * count].reshape(-1, 2)
        seen = carried(np.append(x[0][:8], 1).reshape(3, 3), on_plane)
        left += (np.mean((seen - pixels) ** 2) + np.mean((on_plane - places) ** 2)) / 2 / runs
        fitted += (np.mean((seen - true) ** 2) + np.mean((on_plane - at) ** 2)) / 2 / runs
    assert np.sqrt(left) == pytest.approx(np.sqrt((count - 4) / (2 * count)), abs=0.04)
    assert np.sqrt(fitted) == pytest.approx(np.sqrt((count + 4) / (2 * count)), abs=0.05)


@pytest.mark.parametrize("seed", range(12))
def test_an_independent_library_finds_the_same_homography(seed):
    """OpenCV's findHomography with all points: 5 to 25 of them, to a thousandth of a pixel."""
    chance = np.random.default_rng(seed)
    count = int(chance.integers(5, 26))
    at = chance.uniform(-1500, 1500, (count, 2))
    h = np.array([[0.3, 0.02, 400], [-0.03, 0.28, 700], [1e-5, -2e-5, 1]])
    h[:2, :2] += chance.normal(0, 0.05, (2, 2))
    h[2, :2] += chance.normal(0, 3e-5, 2)
    pixels = carried(h, at) + chance.normal(0, 1, at.shape)
    labels = [f"p|p|{i}" for i in range(count)]
    known = Known(at, np.full(at.shape, 1e-6), pixels, labels, labels)
    problem, x0 = plane_problem(
        known, Sought(pixels[:1], ["p|p|s"], 1.0), (3000, 2000), 1e-9, homography(at, pixels)
    )
    x, _ = descend(problem, x0[None])
    ours = carried(np.append(x[0][:8], 1).reshape(3, 3), at)
    theirs = carried(np.array(cv2.findHomography(at, pixels, 0)[0]), at)
    assert np.abs(ours - theirs).max() < 1e-3


def test_an_independent_library_finds_the_same_camera():
    """OpenCV's calibrateCamera, one view, lens axis held, no bend."""
    chance = np.random.default_rng(4)
    for _ in range(20):
        camera = np.zeros(cam.SIZE)
        camera[cam.LOG_F] = np.log(chance.uniform(3000, 6000))
        camera[cam.CX], camera[cam.CY] = 1500, 1000
        camera[cam.TURN], camera[cam.MOVE] = chance.uniform(-1, 1, 3), [0, 0, 12]
        points = chance.uniform(-2, 2, (14, 3))
        pixels = cam.project(camera, points)[0] + chance.normal(0, 0.1, (14, 2))
        ours = find_cameras(points, pixels, (3000, 2000), 0.1)[0][0]
        begin = np.array([[4000, 0, 1500], [0, 4000, 1000], [0, 0, 1.0]])
        _, inner, _, turns, moves = cv2.calibrateCamera(
            [points.astype(np.float32)], [pixels.astype(np.float32)], (3000, 2000), begin, None,
            flags=HELD,
        )  # fmt: skip
        turn = cv2.Rodrigues(turns[0])[0]
        stood = (-turn.T @ moves[0]).ravel()
        assert np.exp(ours[cam.LOG_F]) == pytest.approx(inner[0, 0], rel=1e-4)
        far = np.linalg.norm(stood)
        assert np.linalg.norm(cam.centre(ours) - stood) < 1e-4 * far


@pytest.mark.parametrize("seed", range(12))
def test_an_independent_library_finds_the_same_point(seed):
    """A point in two pictures of known cameras: OpenCV's correctMatches (the best pair of pixels
    that meet in space) and triangulatePoints, against the network; to 1 % of the stated error."""
    chance = np.random.default_rng(seed)
    true = np.array([of("triangulation", "X"), *chance.uniform(-1, 1, (20, 3))])
    network, begin, seen, matrices = Network(), [], [], []
    for number in range(2):
        p = of("triangulation", f"P{number + 1}")
        inner, turn, stood = cam.taken_apart(p)
        camera = np.zeros(cam.SIZE)
        camera[cam.LOG_F] = np.log(inner[0, 0] * inner[1, 1]) / 2
        camera[cam.CX], camera[cam.CY] = inner[0, 2], inner[1, 2]
        camera[cam.TURN], camera[cam.MOVE] = cam.rotation_vector(turn), -turn @ stood
        size = (2 * inner[0, 2], 2 * inner[1, 2])
        network.camera(f"p{number}", Priors(size, 1e-9, 100.0, 1e-9, 1e-9))
        begin.append(camera)
        seen.append(cam.project(camera, true)[0])
        matrices.append(cam.matrix(camera))
    seen = np.array(seen)
    seen[:, 0] += chance.normal(0, 1, (2, 2))
    for i, at in enumerate(true):
        point = network.point(f"k{i}")
        for number in range(2):
            network.pick(number, i, seen[number, i], 1e-4 if i else 1.0, f"pick|p{number}|k{i}")
        if i:  # these hold the cameras
            network.place(point, at, np.full(3, 1e-7), f"s|s|k{i}")
    found = fit(network.problem()[0], np.concatenate([*begin, true.ravel()]))
    column = network.column(0)
    ours = found.x[column : column + 3]
    sd = np.sqrt(np.diag(found.covariance)[column : column + 3])
    assert sd == pytest.approx(of("triangulation", "sd_first_order_1px"), rel=0.05)

    h = np.linalg.pinv(np.vstack([matrices[0], [0, 0, 0, 1]]))
    apart = matrices[1] @ np.append(cam.centre(begin[0]), 1)
    epipolar = cam.crossed(apart) @ matrices[1] @ h[:, :3]
    pair = cv2.correctMatches(epipolar, *(s[None, :1] for s in seen))
    theirs = cv2.triangulatePoints(*matrices, *(p[0].T for p in pair)).ravel()
    assert (np.abs(ours - theirs[:3] / theirs[3]) < 0.01 * sd).all()


def test_an_independent_library_states_the_same_error_of_the_focal_length():
    """OpenCV's calibrateCameraExtended, one view, lens axis held, no bend: what it states for f,
    and ours from the whole network with the same things held, at the picks' known error."""
    chance = np.random.default_rng(6)
    sigma = 0.5
    for _ in range(6):
        camera = np.zeros(cam.SIZE)
        camera[cam.LOG_F] = np.log(chance.uniform(3000, 6000))
        camera[cam.CX], camera[cam.CY] = 1500, 1000
        camera[cam.TURN], camera[cam.MOVE] = chance.uniform(-1, 1, 3), [0, 0, 12]
        points = chance.uniform(-2, 2, (16, 3)).astype(np.float32).astype(float)
        pixels = cam.project(camera, points)[0] + chance.normal(0, sigma, (16, 2))
        pixels = pixels.astype(np.float32).astype(float)
        network = Network()
        network.camera("p", Priors((3000, 2000), 1e-7, 100.0, 1e-9, 1e-9))
        for i, (at, px) in enumerate(zip(points, pixels, strict=True)):
            network.place(network.point(f"k{i}"), at, np.full(3, 1e-7), f"s|s|k{i}")
            network.pick(0, i, px, sigma, f"pick|p|k{i}")
        begin = find_cameras(points, pixels, (3000, 2000), sigma)[0][0]
        found = fit(network.problem()[0], np.concatenate([begin, points.ravel()]))
        ours = np.sqrt(found.covariance[cam.LOG_F, cam.LOG_F]) * np.exp(found.x[cam.LOG_F])
        start = np.array([[4000, 0, 1500], [0, 4000, 1000], [0, 0, 1.0]])
        _, inner, _, _, _, sd, *_ = cv2.calibrateCameraExtended(
            [points.astype(np.float32)], [pixels.astype(np.float32)], (3000, 2000), start, None,
            flags=HELD,
        )  # fmt: skip
        assert np.exp(found.x[cam.LOG_F]) == pytest.approx(inner[0, 0], rel=1e-4)
        # It scales by its own residuals: two numbers a point, seven unknowns. With the two scales
        # tied it states the one error under the second.
        own = np.sqrt(found.chi2 / (2 * 16 - 7))
        assert ours * own == pytest.approx(float(sd[1, 0]), rel=0.01)
