"""What no test goes through has its reason in docs/coverage.md, and no reason outlives what it was given for."""

from __future__ import annotations

import ast
from pathlib import Path

from tests import coverage
from tests.coverage import File, compared, reasons

PAGE = """
| where | why |
|---|---|
| `rounds/sheets/writer.py` `Writer.write` | nobody replaces it so often |
| `rounds/sheets/disk.py` `Disk.list` | |
"""


def file(**missed: str) -> File:
    return File("rounds/sheets/writer.py", 154, 40, len(missed), 0, missed)


def test_a_row_gives_a_reason_if_it_says_one() -> None:
    assert reasons(PAGE) == {("rounds/sheets/writer.py", "Writer.write")}


def test_what_is_missed_without_a_reason_is_told_and_a_reason_for_nothing_too() -> None:
    known = reasons(PAGE)
    assert compared([file(**{"Writer.write": "60"})], known) == ([], [])
    lacking, spare = compared([file(close="70→end")], known)
    assert lacking == ["rounds/sheets/writer.py close: 70→end: no reason is given"]
    assert spare == ["rounds/sheets/writer.py Writer.write: has a reason and is not missed"]
    assert compared([], known) == ([], []), "of files that were not measured nothing is known"


def test_tests_of_a_folder_that_is_named_whole_are_run_once() -> None:
    assert coverage._outer(["tests/desks", "tests/desks/test_clock.py", "tests/desk"]) == [
        "tests/desks",
        "tests/desk",
    ]


def test_every_function_that_has_a_reason_is_there() -> None:
    for path, name in reasons(coverage.PAGE.read_text(encoding="utf-8")):
        assert name in _functions(coverage.TOP / path), (path, name)


def _functions(path: Path) -> set[str]:
    """The functions of a file, those of a class behind its name."""
    found = {"(module)"}

    def look(node: ast.AST, before: str) -> None:
        for child in ast.iter_child_nodes(node):
            inner = before
            if isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
                inner = f"{before}{child.name}."
                found.add(inner[:-1])
            look(child, inner)

    look(ast.parse(path.read_text(encoding="utf-8")), "")
    return found
