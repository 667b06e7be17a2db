"""The colony's list of traits in colony.toml, and the sentences for what cannot be read in it."""

from __future__ import annotations

import pytest

from rounds.errors import BadRule
from rounds.rules.default import default_rules
from rounds.rules.settings import settings_of
from rounds.standing.traits import LEATHERBACK, Trait

TOML = 'name = "Quandong shed"\ntime_zone = "Europe/Vienna"\n'


def traits(text: str) -> tuple[Trait, ...]:
    return settings_of(TOML + text, default_rules()).house.traits


def test_leatherback_is_known_without_a_list() -> None:
    assert traits("") == traits("[traits]\n") == (LEATHERBACK,)


def test_recessive_and_incomplete_dominant_traits_are_listed() -> None:
    assert traits(
        '[traits]\nalbino = "recessive"\n"long tail" = "Incomplete dominant, two copies very long"\n'
    ) == (
        LEATHERBACK,
        Trait("albino", "recessive"),
        Trait("long tail", "incomplete dominant", "very long"),
    )


def test_a_colony_may_say_leatherback_its_own_way() -> None:
    assert traits('[traits]\nLeatherback = "incomplete dominant, two copies silkback"\n') == (
        Trait("Leatherback", "incomplete dominant", "silkback"),
    )
    assert traits('[traits]\nleatherback = "incomplete dominant"\n')[0].burden


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ('traits = "albino"', "this wants a table"),
        ('[traits]\nalbino = "dominant"', "'dominant' is not understood; write albino = "),
        ('[traits]\nalbino = "recessive, two copies white"', "is not understood"),
        ("[traits]\nalbino = 3", "'3' is not understood"),
        ('[traits]\nalbino = "recessive"\nAlbino = "recessive"', "'Albino' stands in it twice"),
        ('[traits]\n"" = "recessive"', "'' cannot be a trait"),
        ('[traits]\n"a\\u001bb" = "recessive"', "cannot be a trait"),
        (f'[traits]\n{"a" * 41} = "recessive"', "cannot be a trait"),
        ("[traits]\n" + "\n".join(f'a{n} = "recessive"' for n in range(41)), "41 traits; at most 40"),
    ],
)
def test_what_cannot_be_read_says_what_and_how_to_mend_it(text: str, sentence: str) -> None:
    with pytest.raises(BadRule, match=r"colony\.toml, traits") as raised:
        traits(text)
    assert sentence in str(raised.value)
