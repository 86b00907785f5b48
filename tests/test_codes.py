"""Every word that a message may carry is explained in the manual, and every explanation is used."""

from __future__ import annotations

import ast
import re
from pathlib import Path

from archive.core.messages import MESSAGES

PACKAGE = Path(__file__).parents[1] / "archive"
SAYERS = {"Problem", "Unreadable", "Refused", "ImageRefused", "refusal", "refused", "CannotWrite"}
CODE = re.compile(r"[a-z]+(-[a-z0-9]+)+")


def literals() -> tuple[set[str], set[str]]:
    """(codes handed to whatever makes a message, every string in the code but the table's own)."""
    said: set[str] = set()
    every: set[str] = set()
    for path in PACKAGE.rglob("*.py"):
        if path.name.startswith("messages") or "messages" in path.parts:
            continue
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                every.add(node.value)
            if isinstance(node, ast.Call):
                name = getattr(node.func, "id", getattr(node.func, "attr", ""))
                if name in SAYERS:
                    said.update(
                        arg.value
                        for arg in node.args[:2]
                        if isinstance(arg, ast.Constant)
                        and isinstance(arg.value, str)
                        and CODE.fullmatch(arg.value)
                    )
    return said, every


def test_every_code_that_is_said_is_explained():
    said, _ = literals()
    assert len(said) > 30
    assert said - set(MESSAGES) == set()


def test_every_explanation_is_used():
    _, every = literals()
    assert set(MESSAGES) - every == set()
