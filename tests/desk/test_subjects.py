"""Whom a name stands for, when more than one bears it."""

from __future__ import annotations

import pytest

from rounds.desk.subjects import Names, known
from rounds.errors import BadEntry
from tests.notation import standing

TWO = """
2026-03-01 AK
08:00 wattle arrived name=Wattle sex=F
08:00 wattle-2 arrived name=Wattle sex=F
08:00 sedge arrived name=Sedge sex=F
2026-04-01
"""


def whom(word: str, page: str = TWO) -> str:
    return Names(standing(page)).find(word)


def test_a_name_of_one_is_that_one_here_or_gone() -> None:
    assert whom("sedge") == "animal/sedge"
    assert whom("SEDGE", TWO + "08:00 sedge died") == "animal/sedge"


def test_of_two_of_one_name_the_one_that_is_here_is_meant() -> None:
    assert whom("Wattle", TWO + "08:00 wattle left how=sold") == "animal/wattle-2"
    assert whom("Wattle", TWO + "08:00 wattle-2 died") == "animal/wattle"


@pytest.mark.parametrize("gone", ["", "08:00 wattle died\n08:01 wattle-2 died\n"])
def test_of_two_that_are_both_here_or_both_gone_nobody_is_guessed(gone: str) -> None:
    with pytest.raises(BadEntry, match="write the id"):
        whom("Wattle", TWO + gone)


def test_the_beginning_of_a_name_will_do_where_that_is_asked_for() -> None:
    assert whom("sed") == "animal/sedge"
    with pytest.raises(BadEntry):
        Names(standing(TWO), prefixes=False).find("sed")


def test_a_clutch_is_known_once_it_was_laid() -> None:
    laid = standing(TWO + "08:00 sedge eggs_laid clutch=s-1 count=20")
    assert known(laid, "clutch/s-1")
    assert not known(laid, "clutch/s-2")
