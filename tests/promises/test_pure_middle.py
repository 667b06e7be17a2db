"""Promises 2 and 3: one way, and a middle that reads neither clock nor disk."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROUNDS = Path(__file__).resolve().parents[2] / "rounds"
#: The folders that import neither os nor pathlib nor a clock, and the one file among them that reads the disk.
PURE = ("logbook", "audit", "standing", "rules", "due", "paper")
DISK = {"rules/loader.py"}
CLOCK = {"now", "today", "utcnow", "time", "monotonic", "time_ns", "localtime", "perf_counter"}
CLOCK_OWNERS = {"datetime", "date", "time", "dt"}


def modules() -> Iterator[Path]:
    for folder in PURE:
        yield from sorted((ROUNDS / folder).rglob("*.py"))


def relative(path: Path) -> str:
    return path.relative_to(ROUNDS).as_posix()


@pytest.mark.parametrize("path", list(modules()), ids=relative)
def test_no_pure_folder_reads_the_clock(path: Path) -> None:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr in CLOCK:
            owner = node.func.value
            name = (
                owner.id if isinstance(owner, ast.Name) else owner.attr if isinstance(owner, ast.Attribute) else ""
            )
            assert name not in CLOCK_OWNERS, f"{relative(path)}:{node.lineno} reads the clock"


@pytest.mark.parametrize("path", [one for one in modules() if relative(one) not in DISK], ids=relative)
def test_only_the_rules_loader_touches_the_disk(path: Path) -> None:
    banned = {"os", "pathlib", "shutil", "tempfile", "fcntl", "io", "subprocess", "socket", "tinydb"}
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names = {alias.name.partition(".")[0] for alias in node.names}
            assert not names & banned, f"{relative(path)}:{node.lineno} imports {names & banned}"
        if isinstance(node, ast.ImportFrom) and node.level == 0:
            assert (node.module or "").partition(".")[0] not in banned, f"{relative(path)}:{node.lineno}"
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            assert node.func.id != "open", f"{relative(path)}:{node.lineno} opens a file"


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
