"""Promises 2 and 3: one way, and a middle that reads neither clock nor disk."""

from __future__ import annotations

import ast
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

ROUNDS = Path(__file__).resolve().parents[2] / "rounds"
#: The rooms that import neither os nor pathlib nor a clock; a contract in pyproject.toml holds their imports.
PURE = ("logbook", "audit", "standing", "rules", "due", "paper")
CLOCK = {"now", "today", "utcnow", "time", "monotonic", "time_ns", "localtime", "perf_counter"}
CLOCK_OWNERS = {"datetime", "date", "time", "dt"}


def modules() -> Iterator[Path]:
    for folder in PURE:
        yield from sorted((ROUNDS / folder).rglob("*.py"))


def relative(path: Path) -> str:
    return path.relative_to(ROUNDS).as_posix()


@pytest.mark.parametrize("path", list(modules()), ids=relative)
def test_no_pure_folder_reads_the_clock(path: Path) -> None:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    owners = CLOCK_OWNERS | {
        alias.asname
        for node in ast.walk(tree)
        if isinstance(node, ast.Import | ast.ImportFrom)
        for alias in node.names
        if alias.asname and alias.name in CLOCK_OWNERS
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Attribute) and node.attr in CLOCK:
            owner = node.value
            name = (
                owner.id if isinstance(owner, ast.Name) else owner.attr if isinstance(owner, ast.Attribute) else ""
            )
            assert name not in owners, f"{relative(path)}:{node.lineno} reads the clock"


@pytest.mark.parametrize("path", list(modules()), ids=relative)
def test_no_pure_folder_opens_a_file(path: Path) -> None:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            assert node.func.id not in ("open", "__import__"), f"{relative(path)}:{node.lineno}"


def test_a_contract_holds_what_the_pure_rooms_import() -> None:
    contracts = tomllib.loads((ROUNDS.parent / "pyproject.toml").read_text())["tool"]["importlinter"]["contracts"]
    (pure,) = [one for one in contracts if one["name"].startswith("the pure rooms")]
    assert {f"rounds.{folder}" for folder in PURE} == set(pure["source_modules"])
    assert {"os", "pathlib", "io", "time", "tempfile", "sqlite3", "tinydb"} <= set(pure["forbidden_modules"])
    assert pure["allow_indirect_imports"] is False


def test_only_the_screens_import_textual() -> None:
    for path in ROUNDS.rglob("*.py"):
        if relative(path).startswith("screens/"):
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = (
                [alias.name for alias in node.names]
                if isinstance(node, ast.Import)
                else [node.module or ""]
                if isinstance(node, ast.ImportFrom)
                else []
            )
            assert not any(name.partition(".")[0] in ("textual", "rich") for name in names), relative(path)


def test_the_desk_and_all_below_it_load_no_textual() -> None:
    code = "import sys, rounds.desk.shift; sys.exit('textual' in sys.modules or 'rich' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False, cwd=ROUNDS.parent).returncode == 0
