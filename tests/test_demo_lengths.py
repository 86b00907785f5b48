"""Forty lengths and more on the demo's rendered photographs, each with a known truth.

Picks are the true pixels of `truth.json` with an error of 2 px; the joints are surveyed to 2.5 mm.
"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from archive.metrology import space
from archive.metrology.network import Priors
from archive.metrology.outcome import NoEstimate

TRUTH = json.loads((Path(__file__).parent / "demo" / "truth.json").read_text("utf-8"))
MIRROR = space.Plane(np.array([0.0, 1.0, 0.0]), 0.0, 10.0, "mirror||")


def other_hand(name: str) -> str:
    if "port" in name:
        return name.replace("port", "starboard")
    return name.replace("starboard", "port")


def scene_of(file: str, chance: np.random.Generator):
    """The scene of one photograph, the true places, and the pairs of points seen on both hands."""
    entry = TRUTH["files"][file]
    negative = TRUTH["negatives"].get(entry["negative"])
    if (
        negative is None
        or negative.get("mark") != "QK-41"
        or negative["state"] not in TRUTH["points"]
    ):
        return None
    true = {name: np.array(at, float) for name, at in TRUTH["points"][negative["state"]].items()}
    width, height = entry["size"]
    picks = {
        name: np.array(at) + chance.normal(0, 2.0, 2)
        for name, at in entry["points"].items()
        if name in true and not any(name.startswith(f"frame-{n}") for n in "789")
    }
    if entry["flipped"]:
        picks = {name: np.array([width - at[0], at[1]]) for name, at in picks.items()}
    places = {
        name: space.Place(
            true[name] + chance.normal(0, 2.5, 3), np.full(3, 2.5), f"survey|s|{name}"
        )
        for name in picks
        if name.startswith(("frame-", "float-port-chine", "float-port-bow"))
    }
    pairs = tuple(
        (name, other_hand(name), MIRROR)
        for name in picks
        if "port" in name and other_hand(name) in picks and name not in places
    )
    whole = entry["crop"] == [0.0, 0.0, 1.0, 1.0]
    middle = 0.05 if whole else 0.2
    view = space.View(file, Priors((width, height), middle=middle), picks, 2.0)
    return space.Scene(places, (view,), pairs=pairs), true


def lengths():
    """(file, one, other, outcome, truth) of every span and strut that shows on both hands."""
    chance = np.random.default_rng(11)
    for file in sorted(TRUTH["files"]):
        made = scene_of(file, chance)
        if made is None:
            continue
        scene, true = made
        paired = [name for pair in scene.pairs for name in pair[:2]]
        spans = [pair[:2] for pair in scene.pairs]
        spans += [
            (a, a.replace("foot", "head"))
            for a in paired
            if "foot" in a and a.replace("foot", "head") in paired
        ]
        for one, other in spans:
            truth = float(np.linalg.norm(true[one] - true[other]))
            yield file, one, other, space.length_in_space(scene, one, other), truth


@pytest.fixture(scope="module")
def found():
    return list(lengths())


def test_most_of_forty_lengths_hold_and_none_is_far_off(found):
    told = [
        (file, one, abs(outcome.value - truth) / outcome.u)
        for file, one, _, outcome, truth in found
        if not isinstance(outcome, NoEstimate) and outcome.u < 0.15 * outcome.value
    ]
    assert len(told) >= 40
    held = sum(off <= 1.96 for _, _, off in told)
    assert held >= 0.875 * len(told)
    assert max(off for _, _, off in told) < 4, max(told, key=lambda each: each[2])


def test_cropped_stretched_and_flipped_prints_are_among_them(found):
    files = {file for file, *_ in found}
    entries = [TRUTH["files"][file] for file in files]
    assert any(entry["crop"] != [0.0, 0.0, 1.0, 1.0] for entry in entries)
    assert any(entry["stretch"] != [1.0, 1.0] for entry in entries)


def test_a_flipped_print_taken_as_it_lies_is_found_out():
    chance = np.random.default_rng(12)
    tried = caught = 0
    for file in sorted(TRUTH["files"]):
        made = scene_of(file, chance)
        if made is None or len(made[0].places) < 10 or not made[0].pairs:
            continue
        scene, _ = made
        view = scene.views[0]
        width = view.priors.size[0]
        turned = {name: np.array([width - at[0], at[1]]) for name, at in view.picks.items()}
        wrong = space.Scene(
            scene.places, (space.View(file, view.priors, turned, 2.0),), pairs=scene.pairs
        )
        outcome = space.length_in_space(wrong, *scene.pairs[0][:2])
        tried += 1
        caught += isinstance(outcome, NoEstimate)
    assert tried >= 10
    assert caught >= tried - 1
