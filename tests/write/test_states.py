"""Named states: what is written is read back the same, and damage is a problem with a place."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from archive.core.atomic import CannotWrite
from archive.core.kept import Kept, KeptClaim, KeptDecision, KeptPart
from archive.core.problems import Problem
from archive.core.verdicts import GRADES
from archive.read.states import read_state, read_states
from archive.write.states import keep_state, text_of_state

CLAIM = KeptClaim("seen", True, 1, "12E345", 22.25, 0.5)
KEPT = Kept(
    rule_set=1,
    name="before",
    on=date(2026, 11, 25),
    claims={"parts/x#pitch": CLAIM},
    decisions={"decisions/d": KeptDecision("build", "stands", "7QK4M2")},
    parts={"parts/x": KeptPart("cleared", "hold")},
)

claims = st.builds(
    KeptClaim,
    grade=st.sampled_from(GRADES),
    settled=st.booleans(),
    witnesses=st.integers(0, 99),
    evidence=st.text("0123456789ABCDEFGHJKMNPQRSTVWXYZ", min_size=6, max_size=6),
    value_mm=st.none() | st.floats(-2e5, 2e5).map(lambda v: round(v, 6)),
    u_mm=st.none() | st.floats(0, 1e3).map(lambda v: round(v, 6)),
)
names = st.from_regex(r"parts/[a-z0-9][a-z0-9-]{0,9}#[a-z0-9][a-z0-9-]{0,9}", fullmatch=True)


@given(st.dictionaries(names, claims, max_size=5))
@settings(deadline=None)
def test_what_is_written_is_read_back_the_same(found):
    kept = Kept(1, "x", date(2026, 1, 2), found)
    assert read_state("states/x.yaml", "x", text_of_state(kept).encode()) == kept


def test_a_state_is_kept_once_unless_asked(tmp_path):
    path = keep_state(tmp_path, KEPT)
    assert path == tmp_path / "states" / "before.yaml"
    assert read_states(tmp_path).kept == (KEPT,)
    with pytest.raises(CannotWrite, match="already"):
        keep_state(tmp_path, KEPT)
    keep_state(tmp_path, KEPT, replace=True)


@pytest.mark.parametrize("name", ["", "../out", "Upper", "a b", "a/b", ".hidden", "x" * 101])
def test_a_name_that_is_none_is_refused(tmp_path, name):
    with pytest.raises(CannotWrite):
        keep_state(tmp_path, Kept(1, name, date(2026, 1, 2)))
    assert not (tmp_path / "states").exists()


def test_states_are_read_oldest_first(tmp_path):
    for name, day in (("z", 1), ("a", 2)):
        keep_state(tmp_path, Kept(1, name, date(2026, 1, day)))
    assert [kept.name for kept in read_states(tmp_path).kept] == ["z", "a"]


@pytest.mark.parametrize(
    "text",
    [
        "",
        "on: 2026-01-02\n",
        "on: yesterday\nrules: 1\n",
        "on: 2026-01-02\nrules: many\n",
        "on: 2026-01-02\nrules: 1\nclaims: [a]\n",
        'on: 2026-01-02\nrules: 1\nclaims: {parts/x#y: {grade: sure, settled: "yes"}}\n',
        "on: 2026-01-02\nrules: 1\nclaims: {parts/x#y: 3}\n",
        "on: &a 2026-01-02\nrules: *a\n",
        "on: [\n",
    ],
)
def test_damage_is_a_problem(text):
    found = read_state("states/x.yaml", "x", text.encode())
    assert isinstance(found, Problem)
    assert (found.code, found.where.path) == ("state-damaged", "states/x.yaml")


def test_a_cut_off_file_is_a_problem_or_holds_less_and_never_an_error():
    whole = text_of_state(KEPT).encode()
    for length in range(len(whole)):
        found = read_state("states/x.yaml", "x", whole[:length])
        assert isinstance(found, Problem | Kept)
