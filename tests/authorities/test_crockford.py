"""Check codes against what Douglas Crockford published of his base 32, and against RFC 4648.

Source: D. Crockford, "Base 32", crockford.com/base32.html: the table of symbols and the rules for
reading them (from memory, checked by the counts that the page gives: ten digits and 22 letters,
without I, L, O and U). RFC 4648, section 6: the same five bits in another alphabet, by Python's own
`base64`.
"""

from __future__ import annotations

import base64
import hashlib
import string

import pytest
from hypothesis import given
from hypothesis import strategies as st

from archive.core.check_codes import ALPHABET, LETTERS, as_printed, check_code, read_typed


def test_the_symbols_are_ten_digits_and_the_letters_without_i_l_o_u():
    letters = [letter for letter in string.ascii_uppercase if letter not in "ILOU"]
    assert list(ALPHABET) == [*string.digits, *letters]
    assert len(ALPHABET) == 32


@pytest.mark.parametrize(
    ("symbol", "reads"), [("o", "0"), ("O", "0"), ("i", "1"), ("I", "1"), ("l", "1"), ("L", "1")]
)
def test_look_alikes_are_read_as_digits(symbol, reads):
    """Crockford's decode column: 0 O o; 1 I i L l."""
    found = read_typed(f"0031-2-{symbol}7M4QX2H")
    assert found and found.code == f"{reads}7M4QX2H"


def test_hyphens_are_passed_over_and_u_is_no_symbol():
    """ "Hyphens can be inserted … ignored during decoding"; U is left out of the 32."""
    assert read_typed("0031-2-K7M4-QX2H") == read_typed("0031-2-K7M4QX2H")
    assert read_typed("0031-2-U7M4QX2H") is None


def test_the_value_is_that_of_rfc_4648():
    """Five bytes are eight symbols, without padding, in both alphabets."""
    digest = hashlib.sha256(b'[1,"parts/nose-bowl"]').digest()[:5]
    number = int.from_bytes(digest, "big")
    by_hand = "".join(ALPHABET[number >> shift & 31] for shift in range(35, -1, -5))
    assert check_code([1, "parts/nose-bowl"]) == by_hand
    rfc = base64.b32encode(digest).decode()
    values = ["ABCDEFGHIJKLMNOPQRSTUVWXYZ234567".index(letter) for letter in rfc]
    assert by_hand == "".join(ALPHABET[value] for value in values)


@given(st.integers(1, 10**6), st.integers(1, 99), st.text(ALPHABET, min_size=8, max_size=8))
def test_what_is_printed_is_read_back(number, issue, code):
    printed = as_printed(f"{number:04}", issue, code)
    found = read_typed(printed.lower())
    assert found and (found.number, found.issue, found.code) == (str(number), str(issue), code)
    bare = read_typed(printed.replace("-", ""))
    assert bare and (bare.digits, bare.code) == (found.digits, code)


@given(st.text(max_size=30))
def test_nothing_typed_is_an_error(text):
    found = read_typed(text)
    assert found is None or len(found.code) == LETTERS
