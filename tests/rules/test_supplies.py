"""The [supplies] of colony.toml: what a keeper may write, and what is said of a mistake."""

from __future__ import annotations

import pytest

from rounds.errors import BadRule
from rounds.rules.default import default_rules
from rounds.rules.settings import settings_of
from rounds.rules.supply_plan import SupplyPlan

COLONY = 'name = "Shed"\ntime_zone = "Europe/Vienna"\n'


def plans(text: str) -> dict[str, SupplyPlan]:
    return dict(settings_of(COLONY + text, default_rules()).house.supplies)


def test_a_supply_says_what_it_is_for_and_the_rest_goes_without_saying() -> None:
    assert plans("") == {}
    assert plans("[supplies.fruit-flies]\n") == {
        "supply/fruit-flies": SupplyPlan(subject="supply/fruit-flies", name="fruit flies")
    }
    greens = plans('[supplies.kale]\nuse = "greens"\n')["supply/kale"]
    assert (greens.use, greens.unit) == ("greens", "g")
    locusts = plans(
        '[supplies.locusts]\nuse = "insects"\nadult = 9\nyoung = 12.5\norder_days = 3\nname = "Locusts L"\n'
    )
    assert locusts["supply/locusts"] == SupplyPlan(
        subject="supply/locusts",
        name="Locusts L",
        use="insects",
        rations={"young": 12.5, "adult": 9.0},
        order_days=3,
    )


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("supplies = 3\n", "supplies: this wants a table for each"),
        ("[supplies]\nlocusts = 3\n", "supplies, 'locusts': this wants a table"),
        ('[supplies."Locusts L"]\n', "small letters, digits and hyphens, such as locusts-l"),
        ('[supplies.locusts]\nuse = "snacks"\n', "use: 'snacks' is not known; it may be insects, greens, dust"),
        ('[supplies.locusts]\nusse = "insects"\n', "'usse' means nothing here; did you mean use?"),
        ('[supplies.locusts]\nuse = "insects"\nadult = -1\n', "adult: how much a head gets at one feeding"),
        ('[supplies.locusts]\nuse = "insects"\nadult = nan\n', "adult: how much a head gets at one feeding"),
        ('[supplies.locusts]\nuse = "insects"\nadult = true\n', "adult: how much a head gets at one feeding"),
        ('[supplies.calcium]\nuse = "dust"\nadult = 1\n', "a ration is of what is eaten"),
        ("[supplies.locusts]\norder_days = 2.5\n", "order_days: a whole number of days"),
        ("[supplies.locusts]\nunit = 5\n", "unit: this wants up to 20 letters in quotes"),
        ('[supplies.a]\nname = "Kale"\n[supplies.b]\nname = "kale"\n', "two are called 'kale'"),
    ],
)
def test_a_mistake_is_said_with_where_it_stands_and_how_to_mend_it(text: str, says: str) -> None:
    with pytest.raises(BadRule) as refused:
        plans(text)
    assert str(refused.value).startswith("colony.toml, supplies")
    assert says in str(refused.value)
