"""docs/house-rules.md has every rule."""

from __future__ import annotations

from pathlib import Path

import pytest

from rounds.rules.default import default_rules
from rounds.rules.house import GRADES
from rounds.rules.table import tables, with_tables

PAGE = Path(__file__).parents[2] / "docs" / "house-rules.md"


def test_every_rule_stands_on_the_page_with_its_source_and_grade() -> None:
    page = PAGE.read_text(encoding="utf-8").splitlines()
    for key, default in default_rules().items():
        rule = default.rule
        assert rule.source.strip(), key
        assert rule.grade in GRADES, key
        assert rule.says.strip(), key
        row = next((line for line in page if line.startswith(f"| `{key}`")), "")
        assert rule.source in row, key
        assert f"| {rule.grade} |" in row, key
        assert rule.shown() in row, key


def test_a_page_without_its_marks_is_refused() -> None:
    with pytest.raises(ValueError, match="marks"):
        with_tables("# House rules", default_rules())


def test_a_bar_in_a_source_does_not_break_the_table() -> None:
    from msgspec.structs import replace

    default = default_rules()["breeding.window_opens"]
    barred = replace(default, rule=replace(default.rule, source="one | other"))
    assert "one \\| other" in tables({"breeding.window_opens": barred})
