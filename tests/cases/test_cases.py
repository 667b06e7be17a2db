"""The quick cases, tried on the program of this environment; `python -m tests.cases` tries all of them."""

from __future__ import annotations

import ast
import sys
from pathlib import Path

import pytest

from tests.cases.all import CASES
from tests.cases.trying import try_one

ROUNDS = Path(sys.executable).parent / "rounds"
HERE = Path(__file__).parent


@pytest.mark.parametrize("name", [one.name for one in CASES.values() if one.quick])
def test_the_case_holds_when_tried_from_outside(name: str) -> None:
    verdict = try_one(name, ROUNDS).verdict
    if verdict.holds is None:
        pytest.skip(verdict.sentence)
    assert verdict.holds, verdict.sentence


def test_the_cases_share_nothing_with_what_they_try() -> None:
    for file in HERE.glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text())):
            names = [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            names += [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            assert not [name for name in names if name.partition(".")[0] in ("rounds", "demo_colony")], file.name
            assert not [name for name in names if name.startswith("tests.") and not name.startswith("tests.cases")]


def test_the_page_lists_every_case() -> None:
    page = (HERE.parents[1] / "docs" / "cases.md").read_text()
    listed = [line.split("`")[1] for line in page.splitlines() if line.startswith("| `")]
    assert listed == list(CASES)
