"""Does a photograph agree with the metal: on made-up scenes, where a joint has moved or none."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scenes import SIZE, a_camera, around, seen, structure

from archive.metrology import space
from archive.metrology.network import Priors
from archive.metrology.outcome import Checked, NoEstimate
from archive.reasoning.agreeing import FEWEST, WITHIN, agreements

SIGMA = 2.5


def a_scene(chance, moved=None, known=14):
    """A frame of surveyed joints on one photograph; `moved` (mm) is where one really is now."""
    points = structure(chance, known)
    target = points.mean(0)
    camera = a_camera(chance, target, around(chance, target))
    stood = points.copy()
    if moved is not None:
        stood[3] += moved
    picks = {f"k{i}": at for i, at in enumerate(seen(camera, stood, chance))}
    survey = points + chance.normal(0, SIGMA, points.shape)
    places = {
        f"k{i}": space.Place(at, np.full(3, SIGMA), f"survey|surveys/s|k{i}")
        for i, at in enumerate(survey)
    }
    view = space.View("photos/one", Priors(SIZE), picks, 2.0)
    return space.Scene(places, (view,))


def test_points_that_are_as_surveyed_lie_within_their_error_19_times_in_20():
    chance = np.random.default_rng(5)
    checks, disagree, runs = [], 0, 60
    for _ in range(runs):
        found = space.length_in_space(a_scene(chance), "k0", "k1")
        assert not isinstance(found, NoEstimate)
        checks += [one.chi2 <= WITHIN for one in found.checked]
        (agreement,) = agreements(found.checked)
        disagree += agreement.finding.verdict != "agrees with the metal"
    assert len(checks) > 10 * runs
    assert 0.92 <= np.mean(checks) <= 0.98
    assert disagree <= 0.15 * runs


@pytest.mark.parametrize("mm", [120.0, 250.0])
def test_a_joint_that_has_moved_is_named_and_told_how_far(mm):
    """Upwards, so that the photograph sees it; it may be left out as a blunder, or all refused."""
    chance = np.random.default_rng(int(mm))
    right, off = 0, []
    for _ in range(10):
        scene = a_scene(chance, np.array([0, 0, mm]))
        found = space.length_in_space(scene, "k0", "k1")
        (agreement,) = agreements(found.checked)
        assert agreement.finding.verdict == "does not agree with the metal"
        says = agreement.finding.reasons[0].says
        worst = max(found.checked, key=lambda one: one.chi2)
        right += worst.label.endswith("|k3") and "is k3:" in says
        off.append(worst.gap)
    assert right >= 8
    assert np.median(off) == pytest.approx(mm, rel=0.35)


def test_too_few_points_give_no_answer_and_a_bad_one_is_told():
    good = [Checked(f"pick|photos/a|k{i}", 1.0, 2.0, 1.0) for i in range(5)]
    assert agreements(tuple(good[: FEWEST - 1])) == ()
    (agreement,) = agreements(tuple(good))
    assert (agreement.checked, agreement.agree) == (5, 5)
    (agreement,) = agreements((*good[:4], replace(good[4], gap_px=9.0, gap=31.4, chi2=40.0)))
    assert (agreement.checked, agreement.agree) == (5, 4)
    assert "k4: 9.0 px, about 31\u00a0mm there; that is more than chance explains" in (
        agreement.finding.reasons[0].says
    )
    # One in five a little outside its own limit is what chance gives.
    (agreement,) = agreements((*good[:4], replace(good[4], chi2=7.0)))
    assert agreement.agree == 4 and agreement.finding.verdict == "agrees with the metal"
