"""Tables for spreadsheets and pages for browsers: a name starts no formula and no script.

OWASP Application Security Verification Standard 1.2.10: a leading ' before = + - @ TAB CR in text columns,
and only there: a number stays a number.
"""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path

import pytest

from rounds.paper.plain_text import cell, shown, uncelled
from tests.hostile.hostile import HOSTILE, unfit

SOURCES = sorted(Path(__file__).parents[2].glob("rounds/**/*.py"))
FORMULAS = ("=1+2", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "=cmd|'/c calc'!A0", '=HYPERLINK("http://x.example")')


@pytest.mark.parametrize("text", [*FORMULAS, *HOSTILE.values()])
def test_a_text_cell_starts_no_formula_and_comes_back_as_it_was(text: str) -> None:
    table = io.StringIO()
    csv.writer(table).writerow([cell(text), "-3.5"])
    table.seek(0)
    ((held, number),) = csv.reader(table)
    assert held[:1] not in ("=", "+", "-", "@", "\t", "\r")
    assert uncelled(held) == text or (uncelled(held), text[:1]) == (text, "'")
    assert number == "-3.5", "a figure stays a figure"
    assert unfit(shown(held)) == []


@pytest.mark.parametrize("source", SOURCES, ids=lambda path: path.name)
def test_whoever_writes_tables_or_pages_keeps_the_rule(source: Path) -> None:
    text = source.read_text(encoding="utf-8")
    if re.search(r"^\s*(import csv|from csv)", text, re.MULTILINE):
        assert "cell" in text, "text columns of a table go through plain_text.cell"
    if re.search(r"<(html|body|table|td|p)\b", text, re.IGNORECASE):
        assert "html.escape" in text or "from html import escape" in text, "names in a page are escaped"


def test_the_rule_is_looked_for_in_every_module() -> None:
    assert len(SOURCES) > 80
