"""A newcomer that shows what a held picture shows comes in, named, with a question in its note."""

from __future__ import annotations

from datetime import date

import numpy as np
from PIL import Image
from plates import mirrored, negative, nothing, rescanned, scene, toned
from small_records import BASE, photo

from archive.core.likeness import ANOTHER, COPIES
from archive.intake.files import gather
from archive.intake.take import Asked, take
from archive.read.load import load

DAY = date(2026, 11, 25)


def test_a_reprint_the_next_frame_and_a_stranger(content, tmp_path):
    folder = content(BASE + photo("slip"))
    chance = np.random.default_rng(5)
    held = negative(scene(11), 1)
    box = tmp_path / "box"
    box.mkdir()
    for path, tones in {
        folder / "photos" / "slip.png": nothing(held, chance),
        box / "reprint.png": rescanned(mirrored(toned(held, chance), chance), chance),
        box / "frame.png": rescanned(negative(scene(11, shift=(26.0, 0.0)), 2), chance),
        box / "stranger.png": rescanned(negative(scene(77), 3), chance),
    }.items():
        Image.fromarray(tones).save(path)
    found = take(gather([box], folder).files, None, load(folder), None, Asked(DAY))
    like = {
        path.name: {one.called: one.answer for one in ones} for path, ones in found.like.items()
    }
    assert like["reprint.png"]["photos/slip"] == COPIES
    assert like["frame.png"]["photos/slip"] == ANOTHER
    assert like["stranger.png"] == {}
    notes = {one.photo: one.left_open for one in found.proposals}
    assert set(notes) == {"reprint", "frame", "stranger"}  # all come in: a person decides
    told = "how it stands to photos/slip (a copy of one negative, by shared grain or dust)"
    assert any(line.startswith(told[:-1]) for line in notes["reprint"])
    assert not any("how it stands" in line for line in notes["stranger"])
