"""What is installed: one version, a quick start, and a wheel that works far from the checkout."""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import pytest

import archive

TOP = Path(__file__).parents[1]


def test_the_version_is_told_once():
    project = tomllib.loads((TOP / "pyproject.toml").read_text("utf-8"))["project"]
    assert project["version"] == archive.__version__


def cpu_seconds(*words: str) -> float:
    """CPU of a command with its children; the least of five, since other work only adds."""

    def once() -> float:
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run([sys.executable, *words], check=True, capture_output=True, cwd=TOP)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime

    return min(once() for _ in range(5))


def test_help_comes_within_three_times_an_import_of_click():
    assert cpu_seconds("-m", "archive", "--help") <= 3 * cpu_seconds("-c", "import click")


@pytest.mark.full
def test_a_wheel_works_far_from_the_checkout(tmp_path):
    wheels, far = tmp_path / "wheels", tmp_path / "far"
    far.mkdir()
    pip = [sys.executable, "-m", "pip"]
    subprocess.run([*pip, "wheel", "-q", "--no-deps", "-w", wheels, TOP], check=True)
    (wheel,) = wheels.glob("*.whl")
    names = zipfile.ZipFile(wheel).namelist()
    for wanted in (
        "archive/_themes/workshop/",
        "archive/manual/index.md",
        "archive/write/starter_files/",
    ):
        assert any(name.startswith(wanted) for name in names), wanted
    subprocess.run([sys.executable, "-m", "venv", far / "venv"], check=True)
    command = far / "venv" / "bin" / "witnessmark"
    subprocess.run([far / "venv" / "bin" / "pip", "install", "-q", wheel], check=True)
    env = {**os.environ, "WITNESSMARK_CACHE": str(far / "cache")}
    env.pop("PYTHONPATH", None)
    for words in (["new", "ours"], ["check", "ours"], ["build", "ours"]):
        subprocess.run([command, *words], check=True, cwd=far, env=env)
    assert (far / "build" / "crew" / "index.html").is_file()
    assert (far / "build" / "crew" / "how" / "grades.html").is_file()
