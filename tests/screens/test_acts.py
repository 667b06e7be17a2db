"""Acts on a matter: no two that can stand in one list have the same letter."""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Iterable
from pathlib import Path
from typing import get_args

import rounds.due.matters
from rounds.due.matter import Act
from rounds.screens.record.acting import ACTS

#: A supply is neither fed nor counted as a group is: its acts share letters with those of animals.
OF_A_SUPPLY = {"stock counted", "stock in"}
MATTERS = sorted(Path(rounds.due.matters.__path__[0]).glob("*.py"))


def doubled(acts: Iterable[str]) -> list[str]:
    """Letters that two of these acts have."""
    return [letter for letter, times in Counter(ACTS[one][0] for one in acts).items() if times > 1]  # type: ignore[index]


def test_every_act_has_a_letter_of_its_own_but_for_those_of_a_supply() -> None:
    assert set(ACTS) == set(get_args(Act))
    assert doubled(set(map(str, ACTS)) - OF_A_SUPPLY) == []
    assert doubled({*OF_A_SUPPLY, "appointment", "appointment ended", "note"}) == []


def test_no_matter_offers_two_acts_on_one_letter() -> None:
    lists = 0
    for path in MATTERS:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.keyword) and node.arg == "acts":
                words = {one.value for one in ast.walk(node.value) if isinstance(one, ast.Constant)}
                offered = {one for one in words if one in ACTS} | {"appointment", "note"}
                assert doubled({str(one) for one in offered}) == [], f"{path.name}:{node.value.lineno}"
                lists += 1
    assert lists > 20
