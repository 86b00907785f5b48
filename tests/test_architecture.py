"""The shape of the code: who may import whom, purity, circles, opening sentences, length.

The guard itself is tested on planted breaches at the end of this file.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "archive"

EVERYTHING_BUT_CLI = (
    "core", "records", "metrology", "imaging", "read", "write", "intake", "reasoning", "pipeline",
    "audience", "pictures", "search", "site", "exchange", "publish",
)  # fmt: skip

MAY_IMPORT: dict[str, tuple[str, ...]] = {
    "core": (),
    "records": ("core",),
    "metrology": ("core",),
    "imaging": ("core",),
    "read": ("core", "records"),
    "write": ("core", "records", "read"),
    "intake": ("core", "records", "read", "imaging"),
    "reasoning": ("core", "records", "metrology"),
    "pipeline": ("core", "records", "read", "imaging", "reasoning"),
    "audience": ("core", "records", "reasoning"),
    "pictures": ("core", "audience", "imaging"),
    "search": ("core", "records", "audience"),
    "site": ("core", "records", "audience", "search"),
    "exchange": ("core", "records", "audience", "search"),
    "publish": ("core", "audience", "pictures", "search", "site", "exchange"),
    "desk": EVERYTHING_BUT_CLI,
    "cli": (*EVERYTHING_BUT_CLI, "desk"),
}
"""Stage → the stages that it may import, besides itself."""

PURE = ("reasoning", "metrology")
IMPURE = frozenset(
    [
        "os",
        "io",
        "sys",
        "pathlib",
        "shutil",
        "tempfile",
        "subprocess",
        "socket",
        "urllib",
        "http",
        "time",
        "datetime",
        "random",
        "secrets",
        "uuid",
        "threading",
        "multiprocessing",
        "asyncio",
        "glob",
        "sqlite3",
        "pickle",
        "logging",
    ]
)
"""What a pure stage never imports: disk, clock, network, chance."""

LONGEST = 400


def modules(package: Path) -> Iterator[Path]:
    """Every module of a package, in order."""
    yield from sorted(p for p in package.rglob("*.py") if "_themes" not in p.parts)


def stage_of(path: Path, package: Path) -> str:
    """The stage that a module belongs to: its folder, or its own name at the top."""
    first = path.relative_to(package).parts[0]
    return first.removesuffix(".py")


def imports(path: Path) -> Iterator[tuple[int, str]]:
    """(line, dotted module) of every import, those inside functions too."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield node.lineno, node.module or ("." * node.level)


def forbidden_imports(package: Path) -> list[str]:
    """Imports that the table does not allow, one line each."""
    found = []
    for path in modules(package):
        stage = stage_of(path, package)
        if stage in ("__init__", "__main__"):
            continue
        where = f"{package.name}/{path.relative_to(package).as_posix()}"
        if stage not in MAY_IMPORT:
            found.append(f"{where}:1: there is no stage {stage} in the table")
            continue
        for line, name in imports(path):
            parts = name.split(".")
            if name.startswith("."):
                found.append(f"{where}:{line}: relative import")
            elif parts[0] == package.name and len(parts) > 1:
                other = parts[1]
                if other != stage and other not in MAY_IMPORT[stage]:
                    found.append(f"{where}:{line}: {stage} may not import {other}")
            elif stage in PURE and parts[0] in IMPURE:
                found.append(f"{where}:{line}: {stage} is pure and may not import {parts[0]}")
    return found


def circles(package: Path) -> list[str]:
    """Groups of modules that import each other at module level."""
    names = {
        ".".join((package.name, *path.relative_to(package).with_suffix("").parts)).removesuffix(
            ".__init__"
        ): path
        for path in modules(package)
    }
    graph: dict[str, set[str]] = {}
    for name, path in names.items():
        graph[name] = set()
        for node in ast.parse(path.read_text("utf-8")).body:
            targets: list[str] = []
            if isinstance(node, ast.ImportFrom) and node.module:
                targets = [node.module, *(f"{node.module}.{a.name}" for a in node.names)]
            elif isinstance(node, ast.Import):
                targets = [alias.name for alias in node.names]
            graph[name].update(t for t in targets if t in names and t != name)
    reach = {name: set(others) for name, others in graph.items()}
    for middle in names:
        for name in names:
            if middle in reach[name]:
                reach[name] |= reach[middle]
    return sorted(name for name in names if name in reach[name])


def unopened(package: Path) -> list[str]:
    """Modules that don't open with a sentence."""
    found = []
    for path in modules(package):
        text = path.read_text("utf-8")
        opening = ast.get_docstring(ast.parse(text)) if text.strip() else ""
        first = (opening or "").strip().split("\n\n")[0].rstrip()
        if not first.endswith((".", "?", ":", "…")) or " " not in first:
            found.append(str(path.relative_to(package)))
    return found


def too_long(package: Path) -> list[str]:
    """Modules of more than LONGEST lines."""
    return [
        f"{path.relative_to(package)}: {count}"
        for path in modules(package)
        if (count := len(path.read_text("utf-8").splitlines())) > LONGEST
    ]


def undocumented(package: Path) -> list[str]:
    """Public functions and classes without a docstring."""
    found = []
    for path in modules(package):
        for node in ast.parse(path.read_text("utf-8")).body:
            if (
                isinstance(node, ast.FunctionDef | ast.ClassDef)
                and not node.name.startswith("_")
                and not ast.get_docstring(node)
            ):
                found.append(f"{path.relative_to(package)}: {node.name}")
    return found


@pytest.mark.parametrize(
    "rule", [forbidden_imports, circles, unopened, too_long, undocumented], ids=lambda r: r.__name__
)
def test_the_package_keeps_the_rule(rule):
    assert rule(PACKAGE) == []


def test_the_top_level_holds_nothing_else():
    top = PACKAGE.parent
    allowed = {
        "README.md", "DEVELOPERS.md", "pyproject.toml", "archive", "content", "themes", "tests",
        "build",
    }  # fmt: skip
    assert {p.name for p in top.iterdir() if not p.name.startswith(".")} <= allowed


def planted(tmp_path: Path, files: dict[str, str]) -> Path:
    package = tmp_path / "archive"
    for name, text in files.items():
        path = package / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8")
    return package


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("from archive.site.pages import pages\n", "reasoning may not import site"),
        ("import archive.cli.main\n", "reasoning may not import cli"),
        ("def f():\n    import os\n", "reasoning is pure and may not import os"),
        ("from datetime import date\n", "reasoning is pure and may not import datetime"),
        ("from .. import site\n", "relative import"),
    ],
)
def test_a_planted_import_is_found(tmp_path, line, says):
    package = planted(tmp_path, {"reasoning/grades.py": f'"""A sentence."""\n{line}'})
    found = forbidden_imports(package)
    assert len(found) == 1
    assert says in found[0]


def test_a_planted_stage_is_found(tmp_path):
    package = planted(tmp_path, {"utils/misc.py": '"""A sentence."""\n'})
    assert "no stage utils" in forbidden_imports(package)[0]


def test_a_planted_circle_is_found(tmp_path):
    package = planted(
        tmp_path,
        {
            "core/a.py": '"""A sentence."""\nfrom archive.core.b import x\n',
            "core/b.py": '"""A sentence."""\nfrom archive.core import a\n',
            "core/c.py": '"""A sentence."""\nfrom archive.core import a\n',
        },
    )
    assert circles(package) == ["archive.core.a", "archive.core.b"]


def test_planted_silence_length_and_bareness_are_found(tmp_path):
    package = planted(
        tmp_path,
        {
            "core/mute.py": "x = 1\n",
            "core/long.py": '"""A sentence."""\n' + "x = 1\n" * LONGEST,
            "core/bare.py": '"""A sentence."""\ndef public():\n    return 1\n',
        },
    )
    assert unopened(package) == ["core/mute.py"]
    assert too_long(package) == [f"core/long.py: {LONGEST + 1}"]
    assert undocumented(package) == ["core/bare.py: public"]
