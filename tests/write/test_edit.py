"""A signature in a decision's file: one line more, and every other byte as it was."""

from __future__ import annotations

import dataclasses
import difflib
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from archive.core.atomic import CannotWrite
from archive.read.records import read_record
from archive.records.decision import Approval, Decision
from archive.write.edit import add_item, flow, with_item

ITEM = {"by": "HB", "on": "2026-11-25", "role": "lead", "state": "7QK4M2"}
APPROVAL = Approval(by="HB", on=date(2026, 11, 25), role="lead", state="7QK4M2")
HEAD = "---\ntitle: Angle # a note\n\n# above\nquestion: Which?\nabout: [parts/x]\nchoice: build\n"
FOOT = "because: So\n---\nProse with approvals: in it.\n"
ONE = "{by: LM, on: 2026-01-02, role: workshop}"

FORMS = {
    "none": ("", 0),
    "empty": ("approvals: # nobody yet\n", 0),
    "empty list": ("approvals: []\n", 0),
    "flow": (f"approvals: [{ONE}] # one\n", 1),
    "flow with a comma": (f"approvals: [{ONE},]\n", 1),
    "flow over lines": (f"approvals: [\n  {ONE},\n  {ONE}\n]\n", 2),
    "block of flow": (f"approvals:\n  - {ONE} # by hand\n  # a note after it\n\n", 1),
    "block without indent": (f"approvals:\n- {ONE}\n- {ONE}\n", 2),
    "block of blocks": (
        "approvals:\n  - by: LM\n    on: 2026-01-02\n    role: workshop\n\n    # still his\n",
        1,
    ),
    "block with a long text": (
        "approvals:\n  - by: LM\n    on: 2026-01-02\n    role: >-\n      the\n      shop\n\n",
        1,
    ),
}


def read(data: bytes) -> Decision:
    made = read_record("decisions/d.md", data, Decision, "d").made
    assert isinstance(made, Decision)
    return made


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("ends", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
@pytest.mark.parametrize("last", [True, False])
def test_one_line_is_added_and_all_else_stays(form, ends, mark, last):
    approvals, count = FORMS[form]
    fields = HEAD + (FOOT.replace("---", approvals + "---", 1) if last else approvals + FOOT)
    data = (mark + fields.replace("\n", ends)).encode()
    before = read(data)
    assert len(before.approvals) == count
    edited = with_item("decisions/d.md", data, "approvals", flow(ITEM))
    assert edited is not None
    after = dataclasses.replace(read(edited), prose_line=before.prose_line)
    assert after == dataclasses.replace(before, approvals=(*before.approvals, APPROVAL))
    told = list(difflib.ndiff(data.decode().split(ends), edited.decode().split(ends)))
    # Of the old lines all are there, in order; but a list in one line has grown in that line.
    in_line = form.startswith("flow") or form == "empty list"
    assert len([line for line in told if line.startswith("- ")]) == (1 if in_line else 0)
    assert len([line for line in told if line.startswith("+ ")]) <= 2


@given(st.text(st.characters(exclude_categories=("C", "Zl", "Zp")), max_size=20))
@settings(deadline=None)
def test_any_words_are_quoted_so_that_they_read_as_they_are(role):
    data = (HEAD + FOOT).encode()
    item = {**ITEM, "role": f"a{role}a"}
    edited = with_item("decisions/d.md", data, "approvals", flow(item))
    assert edited is not None
    (approval,) = read(edited).approvals
    assert (approval.by, approval.state) == ("HB", "7QK4M2")
    assert approval.role.split() == f"a{role}a".split()


def test_words_that_yaml_would_take_for_others_are_quoted():
    assert flow({"by": "NO", "state": "12E345", "role": "lead"}) == (
        '{by: "NO", state: "12E345", role: lead}'
    )


def test_what_can_not_be_edited_is_left_and_told(tmp_path):
    (tmp_path / "decisions").mkdir()
    file = tmp_path / "decisions" / "d.md"
    file.write_text(HEAD + "approvals: {by: LM}\n" + FOOT)
    decision = dataclasses.replace(read(file.read_bytes()), path="decisions/d.md")

    def then(before: Decision) -> Decision:
        return dataclasses.replace(before, approvals=(*before.approvals, APPROVAL))

    with pytest.raises(CannotWrite) as caught:
        add_item(tmp_path, decision, "approvals", ITEM, then)
    assert "- {by: HB, on: 2026-11-25" in caught.value.hint
    assert file.read_text() == HEAD + "approvals: {by: LM}\n" + FOOT


def test_a_file_that_changed_meanwhile_is_left(tmp_path):
    (tmp_path / "decisions").mkdir()
    file = tmp_path / "decisions" / "d.md"
    file.write_text(HEAD + FOOT)
    decision = dataclasses.replace(read(file.read_bytes()), path="decisions/d.md")
    file.write_text(HEAD.replace("build", "defer") + FOOT)
    with pytest.raises(CannotWrite, match="meanwhile"):
        add_item(tmp_path, decision, "approvals", ITEM, lambda before: before)
    assert "approvals:\n" not in file.read_text()
