"""The examples in docstrings hold."""

from __future__ import annotations

import doctest
import importlib
import pkgutil

import pytest

import archive

MODULES = [
    found.name
    for found in pkgutil.walk_packages(archive.__path__, "archive.")
    if not found.name.endswith("__main__")
]


@pytest.mark.parametrize("name", MODULES)
def test_examples(name):
    failed, _ = doctest.testmod(importlib.import_module(name))
    assert failed == 0
