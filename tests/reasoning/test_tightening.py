"""Statements followed up in pieces: the same as all at once, and clashes that can't be reduced."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from archive.core.findings import Reason
from archive.reasoning.clashing import consistent
from archive.reasoning.network import FAR, Bound, Closure
from archive.reasoning.statements import (
    ABSENCES,
    AIRCRAFT,
    RECORDS,
    WRITTEN,
    Order,
    Statement,
)
from archive.reasoning.tightening import Tightened
from archive.records.photo import Photo

FIXED = ("calendar", "e1", "e2", "e3")
PHOTOS = ("p1", "p2", "p3", "p4", "p5")
SOMEBODY = Photo(id="somebody")


def said(ways: tuple[tuple[Order, ...], ...], stands: int = RECORDS) -> Statement:
    return Statement(Reason("T1", str(ways)), ways, stands, "it", SOMEBODY, SOMEBODY, "date")


def dated(moment: str, first: int, last: int, stands: int = RECORDS) -> Statement:
    orders = (Order(moment, "calendar", -first), Order("calendar", moment, last))
    return said((orders,), stands)


days = st.integers(0, 60)
dates = st.builds(
    lambda moment, first, span, stands: dated(moment, first, first + span, stands),
    st.sampled_from(PHOTOS),
    days,
    st.integers(0, 30),
    st.sampled_from((WRITTEN, RECORDS)),
)
events = st.builds(
    lambda moment, first, span: dated(moment, first, first + span, AIRCRAFT),
    st.sampled_from(FIXED[1:]),
    days,
    st.integers(0, 30),
)
orders = st.builds(
    lambda one, other, turn: said(((Order(one, other, -1) if turn else Order(other, one, -1),),)),
    st.sampled_from(PHOTOS),
    st.sampled_from((*FIXED[1:], *PHOTOS)),
    st.booleans(),
).filter(lambda statement: statement.ways[0][0].start != statement.ways[0][0].end)
absences = st.builds(
    lambda one, a, b: said(((Order(one, a, -1),), (Order(b, one, -1),)), ABSENCES),
    st.sampled_from(PHOTOS),
    st.sampled_from(FIXED[1:]),
    st.sampled_from(FIXED[1:]),
)
stories = st.lists(st.one_of(dates, events, orders, absences), max_size=14)


def all_at_once(found: Tightened, statements: list[Statement]) -> Closure:
    """The closure of everything that counts, with the ways that were chosen, without pieces."""
    names = {name: i for i, name in enumerate((*FIXED, *PHOTOS))}
    kept = [s for n, s in enumerate(statements) if n not in found.off and len(s.ways) == 1]
    bounds = [Bound(names[o.start], names[o.end], o.most, ()) for s in kept for o in s.ways[0]]
    open_ones = [s for n, s in enumerate(statements) if n not in found.off and len(s.ways) > 1]
    while True:
        closure = Closure(len(names), bounds)
        left = []
        more = []
        for one in open_ones:
            ways = [
                way
                for way in one.ways
                if all(closure.most[names[o.end]][names[o.start]] + o.most >= 0 for o in way)
            ]
            assert ways, "what is left must not clash"
            if len(ways) == 1:
                more += [Bound(names[o.start], names[o.end], o.most, ()) for o in ways[0]]
            else:
                left.append(one)
        if not more:
            return closure
        bounds, open_ones = [*bounds, *more], left


@given(stories)
@settings(deadline=None, max_examples=300)
def test_in_pieces_it_is_the_same_as_all_at_once(statements):
    found = Tightened(FIXED, statements)
    whole = all_at_once(found, statements)
    names = (*FIXED, *PHOTOS)
    for i, one in enumerate(names):
        for j, other in enumerate(names):
            if i >= len(FIXED) <= j:
                continue
            most = whole.most[i][j]
            mentioned = {o.start for s in statements for w in s.ways for o in w}
            mentioned |= {o.end for s in statements for w in s.ways for o in w}
            if one in mentioned and other in mentioned:
                assert found.most(one, other) == (None if most > FAR // 2 else most)


@given(stories)
@settings(deadline=None, max_examples=300)
def test_a_clash_is_irreducible_and_the_weakest_give_way(statements):
    found = Tightened(FIXED, statements)
    for clash in found.clashes:
        assert not consistent(statements, clash.members)
        for number in clash.members:
            assert consistent(statements, [n for n in clash.members if n != number])
        weakest = min(statements[n].stands for n in clash.members)
        assert {statements[n].stands for n in clash.aside} == {weakest}
    left = [n for n in range(len(statements)) if n not in found.off]
    assert consistent(statements, left)


@given(stories)
@settings(deadline=None, max_examples=200)
def test_every_bound_rests_on_what_is_named(statements):
    """With the statements named for a bound, and no others, the bound is the same."""
    found = Tightened(FIXED, statements)
    for moment in PHOTOS:
        for one, other in (("calendar", moment), (moment, "calendar")):
            most = found.most(one, other)
            if most is not None:
                behind = [statements[n] for n in found.because(one, other)]
                raised = [s._replace(stands=max(s.stands, RECORDS)) for s in behind]
                assert Tightened(FIXED, raised).most(one, other) == most


@given(stories, st.randoms())
@settings(deadline=None)
def test_where_nothing_clashes_the_order_changes_nothing(statements, random):
    found = Tightened(FIXED, statements)
    if found.clashes or found.contradicted:
        return
    mixed = list(statements)
    random.shuffle(mixed)
    again = Tightened(FIXED, mixed)
    for moment in PHOTOS:
        assert again.most("calendar", moment) == found.most("calendar", moment)
        assert again.most(moment, "calendar") == found.most(moment, "calendar")


def test_a_way_that_is_closed_leaves_the_other():
    """Fitted at e1 and taken off at e2: not there, and too late to be before e1, so after e2."""
    statements = [
        dated("e1", 10, 10, AIRCRAFT),
        dated("e2", 20, 30, AIRCRAFT),
        dated("p1", 15, 60),
        said(((Order("e1", "p1", -1),), (Order("p1", "e2", -1),)), ABSENCES),
    ]
    found = Tightened(FIXED, statements)
    assert (-found.most("p1", "calendar"), found.most("calendar", "p1")) == (21, 60)
    assert set(found.because("p1", "calendar")) == {0, 1, 2, 3}
