"""May we? Default no: everything missing, unknown, run out, misspelt or contradictory withholds."""

from __future__ import annotations

from datetime import date

import pytest
from small_records import BASE

from archive.core.permissions import WITHHELD
from archive.core.statements import statement_of
from archive.read.load import load
from archive.reasoning.rights import permission, rights_of
from archive.reasoning.term_hints import hint

DAY = date(2027, 6, 1)


def source(rights: str, more: str = "", kind: str = "graphic", id_: str = "print") -> str:
    """A source with rights as text."""
    return f"""
== sources/{id_}.md ==
---
title: Source {id_}
citation: {{type: {kind}, title: A print, author: Somebody, issued: 1932-05}}
{rights}
{more}
---
"""


PHOTO = """
== photos/one.md ==
---
title: One
kind: period
source: print
---
"""


@pytest.fixture
def asked(content):
    """`asked(text, use)` → the answer for the photograph `one`."""

    def ask(text: str, use: str = "web", ref: str = "photos/one"):
        library = load(content(BASE + PHOTO + text)).library
        return permission(library, ref, use, DAY)

    return ask


WEB = "grants: [{use: web}]"
STATEMENTS = "http://rightsstatements.org/vocab/{}/1.0/"
CC = "https://creativecommons.org/licenses/{}/4.0/"

WITHHELD_WHEN = {
    "no rights at all": "",
    "rights without a basis": "rights: {holder: X, grants: [{use: web}]}",
    "an empty group": "rights: {}",
    "an empty field": "rights:",
    "unknown": "rights: {basis: unknown, because: nobody knows}",
    "unknown, yet granted": f"rights: {{basis: unknown, {WEB}}}",
    "a misspelt basis": f"rights: {{basis: premission, {WEB}}}",
    "a basis in capitals": f"rights: {{basis: PERMISSION, {WEB}}}",
    "a misspelt group": f"rihgts: {{basis: permission, {WEB}}}",
    "rights given twice": f"rights: {{basis: permission, {WEB}}}\nrights: {{basis: unknown}}",
    "a word for yes": f"rights: {{basis: permission, {WEB}}}\nsealed: NO WAY",
    "no grant": "rights: {basis: permission}",
    "another use": "rights: {basis: permission, grants: [{use: panel}]}",
    "a misspelt use": "rights: {basis: permission, grants: [{use: wbe}]}",
    "a use in capitals": "rights: {basis: permission, grants: [{use: WEB}]}",
    "a use and an unread field": "rights: {basis: permission, grants: [{use: web, untill: 2040}]}",
    "a use that is a list": "rights: {basis: permission, grants: [{use: [web, panel]}]}",
    "run out": "rights: {basis: permission, grants: [{use: web, until: 2027-05-31}]}",
    "run out, day misspelt": "rights: {basis: permission, grants: [{use: web, until: 31/5/2040}]}",
    "run out, impossible day": "rights: {basis: permission, grants: [{use: web, "
    "until: 2040-02-30}]}",
    "not yet begun": "rights: {basis: permission, grants: [{use: web, from: 2027-06-02}]}",
    "ends before it begins": "rights: {basis: permission, grants: "
    "[{use: web, from: 2027-01-01, until: 2026-01-01}, {use: web}]}",
    "one territory": "rights: {basis: permission, grants: [{use: web, territory: Norway}]}",
    "one occasion": "rights: {basis: permission, grants: [{use: web, one_time: yes}]}",
    "refused": f"rights: {{basis: permission, refused: [web], {WEB}}}",
    "our own, refused": "rights: {basis: own, because: a deed, refused: web}",
    "our own, no reason": "rights: {basis: own}",
    "public domain, no reason": "rights: {basis: public-domain}",
    "public domain, in copyright": "rights: {basis: public-domain, because: old, statement: "
    f"{STATEMENTS.format('InC')}}}",
    "public domain, undecided": "rights: {basis: public-domain, because: old, statement: "
    f"{STATEMENTS.format('UND')}}}",
    "our own, holder not found": "rights: {basis: own, because: a deed, statement: "
    f"{STATEMENTS.format('InC-OW-EU')}}}",
    "a statement of nobody's": "rights: {basis: own, because: a deed, statement: "
    "http://example.org/free}",
    "a statement misspelt": "rights: {basis: own, because: a deed, statement: "
    f"{STATEMENTS.format('inc')}}}",
    "a licence without an address": "rights: {basis: licence, credit: X}",
    "a licence that is no licence": "rights: {basis: licence, credit: X, statement: "
    f"{STATEMENTS.format('InC')}}}",
    "a licence that asks for a name": f"rights: {{basis: licence, statement: {CC.format('by')}}}",
    "holder not found, no search": f"rights: {{basis: orphan, {WEB}}}",
    "holder not found, no licence": "rights: {basis: orphan, because: searched, "
    "log: [{on: 2026-01-01, says: asked}]}",
    "sealed": f"rights: {{basis: permission, {WEB}}}\nsealed: yes",
    "made from what is refused": f"rights: {{basis: permission, {WEB}}}\n"
    "derived_from: sources/other"
    "\n---\n== sources/other.md ==\n---\ntitle: O\ncitation: {type: graphic}\n"
    "rights: {basis: permission, grants: [{use: panel}]}",
    "made from what is sealed": f"rights: {{basis: permission, {WEB}}}\n"
    "derived_from: sources/other"
    "\n---\n== sources/other.md ==\n---\ntitle: O\ncitation: {type: graphic}\nsealed: yes",
    "made from what is gone": f"rights: {{basis: permission, {WEB}}}\nderived_from: sources/other",
    "made from an interview": f"rights: {{basis: permission, {WEB}}}\n"
    "derived_from: sources/other"
    "\n---\n== sources/other.md ==\n---\ntitle: O\ncitation: {type: interview}",
    "made from a withdrawn tape": f"rights: {{basis: permission, {WEB}}}\n"
    "derived_from: sources/other"
    "\n---\n== sources/other.md ==\n---\ntitle: O\ncitation: {type: interview}\n"
    "consent: {form: f, given: 2026-01-01, deed: d, "
    "withdrawn: {on: 2027-01-01, by: x, extent: publication}}",
    "an album's rights": "within: other\n---\n== sources/other.md ==\n---\ntitle: O\n"
    f"citation: {{type: collection}}\nrights: {{basis: permission, {WEB}}}",
}


@pytest.mark.parametrize("rights", WITHHELD_WHEN.values(), ids=WITHHELD_WHEN.keys())
def test_what_is_not_plainly_allowed_is_withheld(asked, rights):
    found = asked(source(rights))
    assert found.finding.verdict == WITHHELD
    assert found.finding.reasons and all(reason.rule for reason in found.finding.reasons)
    assert found.credit == "" and not found.crop and not found.overprint


RULES = {
    "unknown": "U1", "no grant": "U3", "another use": "U3", "run out": "U4", "not yet begun": "U4",
    "one territory": "U5", "one occasion": "U6", "public domain, no reason": "U7",
    "a licence without an address": "U8", "a licence that asks for a name": "U8",
    "holder not found, no search": "U9", "refused": "U10", "public domain, in copyright": "U10",
    "our own, no reason": "U2", "sealed": "U14", "made from what is refused": "U13",
    "made from what is sealed": "U13", "made from what is gone": "U13",
    "made from an interview": "U13", "made from a withdrawn tape": "U13", "an album's rights": "U1",
}  # fmt: skip


@pytest.mark.parametrize(("name", "rule"), RULES.items())
def test_it_says_the_rule_that_withholds(asked, name, rule):
    assert rule in {reason.rule for reason in asked(source(WITHHELD_WHEN[name])).finding.reasons}


def test_there_are_more_than_forty_of_them():
    assert len(WITHHELD_WHEN) >= 40


CONSENTS = {
    "no consent": "",
    "no form": "consent: {given: 2026-01-01, deed: d}",
    "no day": "consent: {form: f, deed: d}",
    "no deed": "consent: {form: f, given: 2026-01-01}",
    "not yet": "consent: {form: f, given: 2028-01-01, deed: d}",
    **{
        f"withdrawn, {extent}": "consent: {form: f, given: 2026-01-01, deed: d, "
        f"withdrawn: {{on: {day}, by: x, extent: {extent}}}}}"
        for extent, day in (
            ("publication", "2027-01-01"),
            ("all-use", "2027-01-01"),
            ("return-or-destroy", "2027-01-01"),
            ("publication-from-next-year", "2029-01-01"),
        )
    },
}


@pytest.mark.parametrize("consent", CONSENTS.values(), ids=CONSENTS.keys())
def test_an_interview_needs_both_papers(asked, consent):
    rights = f"rights: {{basis: permission, {WEB}}}"
    assert not asked(source(rights, consent, "interview")).permitted


def test_an_interview_with_both_papers_may_be_shown(asked):
    consent = "consent: {form: f, given: 2026-01-01, deed: d}"
    assert asked(source(f"rights: {{basis: permission, {WEB}}}", consent, "interview")).permitted


ALLOWED_WHEN = {
    "granted": f"rights: {{basis: permission, {WEB}}}",
    "granted to the day": "rights: {basis: permission, grants: [{use: web, until: 2027-06-01}]}",
    "granted from the day": "rights: {basis: permission, grants: [{use: web, from: 2027-06-01}]}",
    "granted anew": "rights: {basis: permission, grants: "
    "[{use: web, until: 2027-01-01}, {use: web, from: 2027-01-02}]}",
    "everywhere": "rights: {basis: permission, grants: [{use: web, territory: World}]}",
    "our own": "rights: {basis: own, because: deed of 1971}",
    "free": "rights: {basis: public-domain, because: unsigned, 1932}".replace(", 1932", ""),
    "free, and said to be": "rights: {basis: public-domain, because: old, statement: "
    f"{STATEMENTS.format('NoC-US')}}}",
    "a licence": f"rights: {{basis: licence, credit: X, statement: {CC.format('by-nc-nd')}}}",
    "given up": "rights: {basis: licence, statement: "
    "https://creativecommons.org/publicdomain/zero/1.0/}",
    "holder not found, licensed": "rights: {basis: orphan, because: searched, "
    f"log: [{{on: 2026-01-01, says: asked}}], {WEB}}}",
    "made from what nobody knows of": f"rights: {{basis: permission, {WEB}}}\n"
    "derived_from: sources/other"
    "\n---\n== sources/other.md ==\n---\ntitle: O\ncitation: {type: graphic}\n"
    "rights: {basis: unknown}",
}


@pytest.mark.parametrize("rights", ALLOWED_WHEN.values(), ids=ALLOWED_WHEN.keys())
def test_what_is_plainly_allowed_is_not_withheld(asked, rights):
    found = asked(source(rights))
    assert found.permitted, found.finding


def test_one_use_is_none_for_another(asked):
    text = source("rights: {basis: permission, grants: [{use: panel, credit: As asked}]}")
    assert asked(text, "panel").permitted and asked(text, "panel").credit == "As asked"
    assert not any(asked(text, use).permitted for use in ("print", "web", "promotion", "press"))


def test_one_occasion_ends_when_it_is_used(asked):
    grant = "rights: {basis: permission, grants: [{use: print, one_time: yes%s}]}"
    assert asked(source(grant % ""), "print").permitted
    assert not asked(source(grant % ", used: 2027-01-01"), "print").permitted


def test_nc_is_not_for_promotion_and_nd_is_not_altered(asked):
    text = source(
        "rights: {basis: licence, credit: X, crop: yes, overprint: yes, statement: "
        f"{CC.format('by-nc-nd')}}}"
    )
    assert not asked(text, "promotion").permitted
    assert not asked(text).crop and not asked(text).overprint


@pytest.mark.parametrize(
    ("item", "grant", "may"),
    [("", "", False), ("yes", "", True), ("", "yes", True), ("yes", "no", False),
     ("no", "yes", False), ("yes", "yes", True), ("no", "", False), ("", "no", False)],
)  # fmt: skip
def test_of_two_words_on_altering_the_stricter_holds(asked, item, grant, may):
    own = f", crop: {item}, overprint: {item}" if item else ""
    its = f", crop: {grant}, overprint: {grant}" if grant else ""
    found = asked(source(f"rights: {{basis: permission{own}, grants: [{{use: web{its}}}]}}"))
    assert found.permitted and found.crop is may and found.overprint is may


def test_a_photograph_without_a_source_is_withheld(content):
    library = load(content(BASE + "\n== photos/x.md ==\n---\ntitle: X\nkind: as-found\n---\n"))
    assert not permission(library.library, "photos/x", "web", DAY).permitted


def test_every_item_has_an_answer_for_every_use(content):
    found = rights_of(load(content(BASE + PHOTO + source("rights: {basis: unknown}"))).library, DAY)
    assert set(found) == {"photos/one", "sources/print"}
    assert all(len(one.uses) == 5 for one in found.values())


def test_the_published_addresses_are_known_and_others_are_not():
    """RightsStatements.org 1.0 lists twelve; Creative Commons six licences (from memory)."""
    twelve = "InC InC-OW-EU InC-EDU InC-NC InC-RUU NoC-CR NoC-NC NoC-OKLR NoC-US CNE UND NKC"
    assert all(statement_of(STATEMENTS.format(name)) for name in twelve.split())
    six = "by by-sa by-nd by-nc by-nc-sa by-nc-nd"
    assert all(statement_of(CC.format(name)).licence for name in six.split())
    for odd in (CC.format("by-nd-sa"), CC.format("sa"), "javascript:alert(1)", "", "InC"):
        assert statement_of(odd) is None


@pytest.mark.parametrize(
    ("kind", "issued", "says"),
    [
        ("book", "1930", "free since 2026"),
        ("article-newspaper", "1932-07-16", "no notice, or was not renewed; else 2027"),
        ("book", "1970", "no notice; else to the end of 2065"),
        ("graphic", "1930", "to the end of 2050"),
        ("graphic", "1900", "free since 2021"),
    ],
)
def test_hints_follow_the_published_chart(content, kind, issued, says):
    """Cornell University Library, Copyright Term and the Public Domain; the last two rows are
    the chart's 120 years from creation for unpublished works of unknown makers (from memory)."""
    text = source("", kind=kind).replace("1932-05", issued)
    library = load(content(BASE + text)).library
    assert says in hint(library.sources["print"], date(2026, 11, 25))
