"""docs/trust.md names tests that are there, figures that are printed, and every reader that is fuzzed."""

from __future__ import annotations

import re
from pathlib import Path

PROJECT = Path(__file__).parents[2]
PAGE = (PROJECT / "docs/trust.md").read_text(encoding="utf-8")
FOLDERS = ("sheets", "desks", "hostile", "screens", "crashes", "colony_days", "fuzzing")
SOURCES = {path: path.read_text(encoding="utf-8") for path in (PROJECT / "tests").rglob("test_*.py")}


def test_every_test_the_page_names_is_there() -> None:
    named = set(re.findall(r"`(tests/[\w/]+\.py)`", PAGE))
    assert len(named) > 15
    assert [path for path in sorted(named) if not (PROJECT / path).is_file()] == []


def test_every_figure_the_page_names_is_printed_by_a_test_it_says_to_run() -> None:
    named = set(re.findall(r'"((?:[^"`]|`[^`]*`)+)"(?=[:;)]| \||,? and)', PAGE))
    assert len(named) > 15
    run = "\n".join(
        text for path, text in SOURCES.items() if path.relative_to(PROJECT / "tests").parts[0] in FOLDERS
    )
    assert [figure for figure in sorted(named) if f'"{figure}' not in run] == []


def test_every_figure_that_counts_fuzzed_inputs_stands_on_the_page() -> None:
    counted = {
        figure
        for path, text in SOURCES.items()
        if path.parent.name == "hostile"
        for figure in re.findall(r'record_figure\(\s*"(fuzzed [^"]+)"', text)
    }
    assert len(counted) >= 8
    assert [figure for figure in sorted(counted) if figure.split(", as bytes")[0] not in PAGE] == []


def test_the_page_says_how_to_print_them() -> None:
    assert f"pytest {' '.join(f'tests/{folder}' for folder in FOLDERS)}" in PAGE
