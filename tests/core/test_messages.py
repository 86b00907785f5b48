"""The table of messages: in order, and each with its three sentences."""

from __future__ import annotations

import re

from archive.core.messages import MESSAGES


def test_words_are_in_order_and_joined_by_dashes() -> None:
    assert list(MESSAGES) == sorted(MESSAGES)
    assert all(re.fullmatch(r"[a-z]+(-[a-z0-9]+)*", word) for word in MESSAGES)


def test_each_says_what_happened_why_and_what_to_do() -> None:
    for word, message in MESSAGES.items():
        for sentence in (message.happened, message.cause, message.mend):
            assert sentence.endswith("."), word
