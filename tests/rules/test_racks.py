"""`racks` in colony.toml: how the racks stand, and every mistake answered by a sentence."""

from __future__ import annotations

import pytest

from rounds.errors import BadRule
from rounds.rules.default import default_rules
from rounds.rules.settings import settings_of
from rounds.standing.racks import RackSetting

HEAD = 'name = "Shed"\ntime_zone = "Europe/Vienna"\n'


def of(text: str) -> tuple[RackSetting, ...]:
    """The racks of a colony.toml."""
    return settings_of(HEAD + text, default_rules()).racks


def test_racks_stand_as_they_are_written_from_left_to_right_and_from_the_top_down() -> None:
    assert of('[racks]\nB = ["B1", ["B2", "B3"], ""]\n"the tubs" = []') == (
        RackSetting("B", (("B1",), ("B2", "B3"), ("",))),
        RackSetting("the tubs"),
    )


def test_a_list_gives_their_order_alone() -> None:
    assert of('racks = ["tubs", "A"]') == (RackSetting("tubs"), RackSetting("A"))
    assert of("") == ()


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("racks = 3", "wants a table or a list of names"),
        ("racks = [1]", "a rack needs a name"),
        ('racks = ["A", "a"]', "'a' stands in it twice"),
        ('[racks]\nA = "A1"', "wants its rows from the top down"),
        ("[racks]\nA = [[]]", "wants its rows from the top down"),
        ("[racks]\nA = [[1]]", "wants its rows from the top down"),
        ('[racks]\nA = ["A1"]\nB = ["a1"]', "'a1' stands in it twice"),
        ('[racks]\n" " = []', "a rack needs a name"),
        ("[racks]\nA = [" + '"",' * 101 + "]", "more than 100 rows"),
        ("racks = [" + ",".join(f'"{number}"' for number in range(101)) + "]", "more than 100 racks"),
    ],
)
def test_a_mistake_is_named_with_the_way_to_mend_it(text: str, says: str) -> None:
    with pytest.raises(BadRule, match=r"colony\.toml, racks") as told:
        of(text)
    assert says in str(told.value)
