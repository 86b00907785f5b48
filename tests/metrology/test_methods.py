"""Each way of measuring: right without noise, honest in its terms, refusing beyond its limits."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import scenes

from archive.metrology import camera as cam
from archive.metrology import circle, line, measured_out, plane, scale, space
from archive.metrology.network import Network, Priors
from archive.metrology.outcome import Estimate, NoEstimate
from archive.metrology.projective import carried
from archive.metrology.solve import fit

H = np.array([[0.31, 0.02, 400], [-0.03, 0.28, 700], [1e-5, -2e-5, 1]])
SIZE = (3000.0, 2000.0)
CORNERS = np.array([[0, 0], [3000, 0], [3000, 1000], [0, 1000], [1500, 500.0]])


def on_plane(known=CORNERS, ends=((300, 300), (2300, 700)), move=0.0, **more):
    at = np.array(known, float)
    pixels = carried(H, at)
    pixels[-1] += move
    named = plane.Known(
        at, np.full(at.shape, 1.0), pixels,
        [f"survey|s|k{i}" for i in range(len(at))], [f"pick|p|k{i}" for i in range(len(at))],
    )  # fmt: skip
    sought = plane.Sought(carried(H, np.array(ends, float)), ["pick|p|a", "pick|p|b"], 2.0)
    return plane.length_on_plane(named, sought, SIZE, **more)


def test_a_plane_without_noise():
    found = on_plane()
    assert found.value == pytest.approx(np.hypot(2000, 400), abs=1e-4)
    kinds = {label.partition("|")[0] for label, _ in found.errors}
    assert kinds == {"survey", "pick", "bend"}


def test_standing_off_the_plane_is_a_term_of_its_own():
    bare, wide = on_plane(), on_plane(off_plane=50.0)
    assert wide.u > bare.u
    assert {label for label, _ in wide.errors} >= {"off-plane|p|a", "off-plane|p|b"}


@pytest.mark.parametrize(
    ("known", "ends", "says"),
    [
        (CORNERS[:3], ((300, 300), (2300, 700)), "needs 4"),
        (CORNERS * [1, 0], ((300, 0), (2300, 0)), "one line"),
        (CORNERS, ((300, 300), (3900, 700)), "outside the known points"),
    ],
)
def test_a_plane_beyond_its_limits(known, ends, says):
    found = on_plane(known, ends)
    assert isinstance(found, NoEstimate)
    assert says in found.reason and found.way_out


def test_a_wrong_pick_widens_and_then_refuses():
    right, wide, wrong = on_plane(), on_plane(move=6.0), on_plane(move=80.0)
    assert wide.scaled > 1 and wide.u > right.u
    assert "do not fit together" in wrong.reason


def test_an_error_is_never_narrowed():
    assert on_plane().scaled == 1.0


def test_a_pick_that_is_known_and_measured_counts_once():
    found = on_plane(ends=((0, 0), (2300, 700)))
    whole = plane.apart_from(
        plane.Known(
            CORNERS, CORNERS, CORNERS, [f"s{i}" for i in range(5)], ["a", "b", "c", "d", "e"]
        ),
        plane.Sought(CORNERS[:2], ["b", "z"], 2.0),
    )
    assert whole[1] == (1, 5) and whole[0].pick_labels == ["z"]
    assert len({label for label, _ in found.errors}) == len(found.errors)


LENGTHS = [(0, 1), (1, 2), (2, 3), (3, 0), (0, 2), (1, 3)]


def measured_lengths(chosen=LENGTHS, ends=(4, 5), extra=()):
    places = np.array([[0, 0], [3000, 0], [3000, 1000], [0, 1000], [600, 200], [2400, 800], *extra])
    lengths = [
        measured_out.Stretch(i, j, float(np.hypot(*(places[i] - places[j]))), 2.0, f"known|k{n}|")
        for n, (i, j) in enumerate(chosen)
    ]
    labels = [f"pick|p|{i}" for i in range(len(places))]
    return measured_out.length_by_lengths(carried(H, places), labels, lengths, ends, 2.0, SIZE)


def test_a_plane_by_lengths_without_noise():
    found = measured_lengths()
    assert found.value == pytest.approx(np.hypot(1800, 600), abs=0.5)
    assert {label.partition("|")[0] for label, _ in found.errors} == {"pick", "known", "bend"}
    assert found.dof == 1


@pytest.mark.parametrize(
    ("how", "says"),
    [
        ({"chosen": LENGTHS[:4]}, "needs 5 known lengths"),
        ({"extra": ([10, 10],)}, "No known length runs to 6"),
        ({"extra": ([5200, 900],), "ends": (4, 6)}, "No known length runs to 5"),
    ],
)
def test_a_plane_by_too_few_lengths(how, says):
    found = measured_lengths(**how)
    assert isinstance(found, NoEstimate) and says in found.reason


def stations(known=(0, 900, 1800, 2650, 3500), ends=(450, 3000), bent=0.0):
    def seen(places):
        s = np.array(places, float)
        t = (0.5 * s + 20) / (1 + 4e-5 * s)
        return np.column_stack([300 + 0.9 * t, 500 + 0.2 * t])

    at = np.array(known, float)
    pixels = seen(at)
    pixels[1, 1] += bent
    named = plane.Known(
        (at - at.mean())[:, None], np.full((len(at), 1), 2.0), pixels,
        [f"survey|s|k{i}" for i in range(len(at))], [f"pick|p|k{i}" for i in range(len(at))],
    )  # fmt: skip
    return line.length_on_line(named, plane.Sought(seen(ends), ["pick|p|a", "pick|p|b"], 2.0))


def test_stations_without_noise():
    assert stations().value == pytest.approx(2550, abs=1e-5)


@pytest.mark.parametrize(
    ("how", "says"),
    [
        ({"known": (0, 900)}, "needs 3"),
        ({"known": (0, 0, 900)}, "are the same"),
        ({"ends": (450, 9000)}, "beyond the last station"),
        ({"bent": 90.0}, "off the line"),
    ],
)
def test_stations_beyond_their_limits(how, says):
    found = stations(**how)
    assert isinstance(found, NoEstimate) and says in found.reason


RULE = scale.Measure(np.array([[100.0, 100], [600, 100]]), ("pick|p|c", "pick|p|d"), 2.0)
THING = scale.Measure(np.array([[100.0, 300], [350, 300]]), ("pick|p|a", "pick|p|b"), 2.0)
SCENE = scale.Scene(
    distance=10000, distance_u=500, nearer=0, nearer_u=0, depth_limit=50, tilt=np.radians(10),
    size=SIZE, label="p",
)  # fmt: skip


def by_scale(scene=SCENE, thing=THING, rule=RULE, draws=0):
    return scale.beside(thing, rule, 1000.0, (("known|k|", 1.0),), scene, draws)


def test_simple_proportion_and_its_terms_by_hand():
    found = by_scale()
    terms = dict(found.errors)
    assert found.value == pytest.approx(500)
    assert terms["pick|p|b:u"] == pytest.approx(500 / 250 * 2)
    assert terms["pick|p|d:u"] == pytest.approx(-500 / 500 * 2)
    assert terms["known|k|"] == pytest.approx(0.5)
    assert terms["depth|p|plane"] == pytest.approx(500 * 50 / 10000 / np.sqrt(3))
    assert "stretch|p|" not in terms  # both lengths run across: the stretch cancels


def test_a_nearer_rule_makes_the_thing_larger():
    near = by_scale(replace(SCENE, nearer=1000.0, nearer_u=100.0))
    assert near.value == pytest.approx(500 * 10 / 9)
    assert dict(near.errors)["depth|p|nearer"] == pytest.approx(near.value * 100 / 9000)


def test_square_lengths_feel_the_stretch_of_the_print():
    down = scale.Measure(np.array([[100.0, 300], [100, 550]]), ("pick|p|a", "pick|p|b"), 2.0)
    assert dict(by_scale(thing=down).errors)["stretch|p|"] == pytest.approx(500 * 0.005)


@pytest.mark.parametrize(
    ("scene", "says"),
    [
        (replace(SCENE, nearer=3000.0), "out of the plane"),
        (replace(SCENE, nearer=12000.0), "behind the camera"),
    ],
)
def test_a_rule_too_far_out_of_the_plane(scene, says):
    found = by_scale(scene)
    assert isinstance(found, NoEstimate) and says in found.reason


def test_two_picks_on_one_spot():
    spot = scale.Measure(np.array([[5.0, 5], [6, 5]]), ("pick|p|a", "pick|p|b"), 2.0)
    assert isinstance(by_scale(thing=spot), NoEstimate)


def test_the_simulated_scale_spreads_as_its_terms_say():
    for scene in (SCENE, replace(SCENE, nearer=800.0, nearer_u=100.0)):
        found = by_scale(scene, draws=4000)
        assert 0.8 < found.refit.u / found.u < 1.25


def rim(count=12, arc=360.0, a=150.0, b=90.0, turn=0.4):
    t = np.radians(np.linspace(0, arc, count, endpoint=arc < 360))
    shape = np.column_stack([a * np.cos(t), b * np.sin(t)])
    c, s = np.cos(turn), np.sin(turn)
    return shape @ np.array([[c, s], [-s, c]]) + [1500, 1000]


def around(picks, way=0.4):
    step = 200 * np.array([np.cos(way), np.sin(way)])
    rule = scale.Measure(np.array([[900.0, 900], 900 + step]), ("pick|p|c", "pick|p|d"), 2.0)
    labels = tuple(f"pick|p|r{i}" for i in range(len(picks)))
    known = (("known|k|", 1.0),)
    return circle.diameter(picks, labels, rule, 1000.0, known, SCENE, np.radians(2))


def test_a_circle_has_its_diameter_along_the_rule():
    assert around(rim()).value == pytest.approx(1000 * 300 / 200, rel=1e-6)
    assert around(rim(), 0.4 + np.pi / 2).value == pytest.approx(1000 * 180 / 200, rel=1e-6)
    assert "from square" in around(rim()).notes[-1]


@pytest.mark.parametrize(
    ("picks", "says"),
    [
        (rim(5), "6 picks"),
        (rim(12, 120), "span 120°"),
        (np.column_stack([np.arange(12.0), np.arange(12.0)]), "no ellipse"),
    ],
)
def test_a_circle_beyond_its_limits(picks, says):
    found = around(picks)
    assert isinstance(found, NoEstimate) and says in found.reason


def test_the_ellipse_start_is_exact_on_an_ellipse():
    cx, cy, a, b, turn = circle.ellipse_start(rim())
    assert (cx, cy, a, b) == pytest.approx((1500, 1000, 150, 90))
    assert np.sin(turn - 0.4) == pytest.approx(0, abs=1e-9)


# In space


def a_scene(seed=1, way="symmetry", **more):
    """The scene that the coverage study draws, kept so that it can be spoilt."""
    kept = {}

    def keep(scene, one, other, draws=0):
        kept["scene"] = scene
        return Estimate(1.0, ())

    original, scenes.space.length_in_space = scenes.space.length_in_space, keep
    try:
        _, truth = scenes.in_space(np.random.default_rng(seed), way, **more)
    finally:
        scenes.space.length_in_space = original
    return kept["scene"], truth


def view_with(scene, **picks):
    view = scene.views[0]
    kept = {name: at for name, at in {**view.picks, **picks}.items() if at is not None}
    return replace(scene, views=(replace(view, picks=kept), *scene.views[1:]))


@pytest.mark.parametrize("way", ["symmetry", "on-plane", "several"])
def test_in_space_simulation_agrees_with_first_order(way):
    scene, truth = a_scene(4, way, photos=2 if way == "several" else 1)
    found = space.length_in_space(scene, "a", "b", draws=200)
    assert abs(found.value - truth) < 3.5 * found.u
    assert 0.8 < found.refit.u / found.u < 1.25


def test_five_known_points_are_too_few():
    scene, _ = a_scene(known=5)
    found = space.length_in_space(scene, "a", "b")
    assert "needs 6 known points" in found.reason


def test_a_point_seen_once_has_no_place():
    scene, _ = a_scene()
    found = space.length_in_space(replace(scene, pairs=()), "a", "b")
    assert "seen once only" in found.reason


def test_known_points_on_one_line_find_no_camera():
    scene, _ = a_scene()
    on_line = {
        name: replace(place, at=np.array([300.0 * i, 0, 0]))
        for i, (name, place) in enumerate(scene.places.items())
    }
    assert "one line" in space.length_in_space(replace(scene, places=on_line), "a", "b").reason


def test_one_blunder_among_twelve_is_left_out_and_named():
    scene, truth = a_scene(6)
    bad = view_with(scene, k3=scene.views[0].picks["k3"] + [40, 10])
    found = space.length_in_space(bad, "a", "b")
    assert found.left_out == ("k3",)
    assert abs(found.value - truth) < 3.5 * found.u


def test_swapped_names_are_refused():
    scene, _ = a_scene(6)
    picks = scene.views[0].picks
    bad = view_with(scene, k1=picks["k8"], k8=picks["k1"], k2=picks["k9"], k9=picks["k2"])
    assert isinstance(space.length_in_space(bad, "a", "b"), NoEstimate)


def test_a_print_the_wrong_way_round_is_found_out():
    told = 0
    for seed in range(12):
        scene, _ = a_scene(seed, known=18)
        flipped = {n: np.array([3000 - at[0], at[1]]) for n, at in scene.views[0].picks.items()}
        found = space.length_in_space(view_with(scene, **flipped), "a", "b")
        told += isinstance(found, NoEstimate) and (
            "mirror image" in found.reason or "fit together" in found.reason
        )
    assert told >= 11


def test_a_flat_set_seen_square_on_finds_no_camera():
    chance = np.random.default_rng(5)
    xs, zs = np.meshgrid(np.linspace(0, 3000, 4), [0.0, -1000.0])
    points = np.column_stack([xs.ravel(), np.zeros(8), zs.ravel()])
    camera = scenes.a_camera(chance, points.mean(0), np.array([1500.0, -15000, -500]))
    places = {
        f"k{i}": space.Place(at, np.full(3, 2.5), f"survey|s|k{i}") for i, at in enumerate(points)
    }
    picks = {f"k{i}": at for i, at in enumerate(scenes.seen(camera, points, chance))}
    view = space.View("p", Priors(SIZE), picks, 2.0)
    found = space.length_in_space(space.Scene(places, (view,)), "k0", "k7")
    assert isinstance(found, NoEstimate)
    assert "looks straight at it" in found.reason or "equally well" in found.reason


def test_the_camera_stood_where_it_says():
    scene, _ = a_scene(3, known=16)
    found = space.camera_distance(scene, "k0", "k5", draws=100)
    assert 6000 < found.value < 25000
    assert 0.7 < found.refit.u / found.u < 1.4


def test_a_measured_distance_is_a_row_like_any_other():
    network = Network()
    a, b = network.point("a"), network.point("b")
    network.place(a, np.zeros(3), np.full(3, 1e-3), "survey|s|a")
    network.place(b, np.array([990.0, 0, 0]), np.array([50, 1.0, 1.0]), "survey|s|b")
    network.distance(a, b, 1000.0, 1.0, "known|k|")
    problem, _ = network.problem()
    found = fit(problem, np.array([0, 0, 0, 990.0, 0, 0]))
    assert found.x[3] == pytest.approx(1000, abs=0.01)
    assert np.sqrt(found.covariance[3, 3]) == pytest.approx(1.0, abs=0.01)


def test_a_cropped_picture_is_less_sure_of_itself():
    scene, _ = a_scene(8)
    view = scene.views[0]
    cropped = replace(view, priors=replace(view.priors, middle=0.2))
    whole = space.length_in_space(scene, "a", "b")
    doubtful = space.length_in_space(replace(scene, views=(cropped,)), "a", "b")
    assert doubtful.u > whole.u
    assert any("lens axis" in note for note in doubtful.notes)


def test_centre_of_a_camera_is_where_it_stood():
    camera = np.zeros(cam.SIZE)
    camera[cam.TURN], camera[cam.MOVE] = [0.3, 0.2, -0.4], [1, 2, 3]
    turn = cam.rotation(camera[cam.TURN])
    assert turn @ cam.centre(camera) + camera[cam.MOVE] == pytest.approx(np.zeros(3), abs=1e-12)
