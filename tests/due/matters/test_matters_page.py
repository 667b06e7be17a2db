"""docs/matters.md has every matter."""

from __future__ import annotations

from pathlib import Path

from rounds.due.matters import ALL, CITED, NEEDED, title
from rounds.due.matters.help_text import help_of, rule_named
from rounds.rules.default import default_house, default_rules
from tests.notation import VIENNA

PAGE = Path(__file__).parents[3] / "docs" / "matters.md"
HOUSE = default_house(VIENNA)


def test_every_rule_stands_on_the_page_with_its_name_and_the_first_line_of_its_help() -> None:
    lines = PAGE.read_text(encoding="utf-8").splitlines()
    for rule in ALL:
        assert lines.count(f"### {title(rule)}") == 1, rule.__name__
        assert help_of(rule)[0] in lines, rule.__name__


def test_every_house_rule_that_a_matter_cites_is_one_and_stands_on_the_page() -> None:
    lines = PAGE.read_text(encoding="utf-8")
    for rule in ALL:
        for key in CITED[rule.__name__]:
            assert key in default_rules(), f"{rule.__name__}: {key}"
            assert HOUSE.rule(key).cite() in lines, key


def test_every_rule_says_which_numbers_it_rests_on_and_has_a_name_of_its_own() -> None:
    assert {rule.__name__ for rule in ALL} == set(CITED)
    assert set(NEEDED) <= set(CITED)
    assert len({title(rule) for rule in ALL}) == len(ALL)
    assert rule_named("no lay box") in ALL
    assert rule_named("no such matter") is None
