"""The rules a house starts with make sense by themselves, and are the ones they are said to be."""

from __future__ import annotations

import os
import subprocess
import sys
import tomllib
from pathlib import Path
from zipfile import ZipFile
from zoneinfo import ZoneInfo

import pytest

from rounds.errors import BadRule
from rounds.rules import default
from rounds.rules.changes import changed_rules
from rounds.rules.default import TOPICS, default_house, default_rules, default_text

DEFAULTS = Path(default.__file__).with_name("defaults")
RULE = '[a.b]\nvalue = 1\nunit = "days"\ngrade = "A"\nsource = "x"\nsays = "x"\nleast = 1\nmost = 2'
HOUSE = default_house(ZoneInfo("Europe/Vienna"))


def test_every_default_lies_within_its_own_limits_and_order() -> None:
    values: dict[str, object] = {}
    for key, one in default_rules().items():
        value = one.rule.value
        if not isinstance(value, str):
            values[key] = list(value) if isinstance(value, tuple) else value
    kept = changed_rules(default_rules(), values)
    assert {key: rule.value for key, rule in kept.items()} == {
        key: one.rule.value for key, one in default_rules().items()
    }


def test_every_rule_is_read_by_some_part_of_the_program() -> None:
    program = "".join(
        path.read_text(encoding="utf-8") for path in Path(__file__).parents[2].joinpath("rounds").rglob("*.py")
    )
    assert [key for key in default_rules() if f'"{key}"' not in program] == []


def test_every_file_of_defaults_is_read() -> None:
    assert sorted(TOPICS) == sorted(file.name.removesuffix(".toml") for file in DEFAULTS.iterdir())


def test_a_package_that_is_not_unpacked_gives_the_same_rules(tmp_path: Path) -> None:
    archive = tmp_path / "rounds.zip"
    with ZipFile(archive, "w") as packed:
        for file in DEFAULTS.parents[1].rglob("*.*"):
            if file.suffix in (".py", ".toml"):
                packed.write(file, file.relative_to(DEFAULTS.parents[2]))
    code = "import rounds.rules.default as it; print(it.__file__); print(*map(repr, it.default_rules().values()))"
    told = [
        subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONPATH": str(where)},
            cwd=tmp_path,
            capture_output=True,
            text=True,
            check=True,
        ).stdout.partition("\n")
        for where in (archive, DEFAULTS.parents[2])
    ]
    assert [str(archive) in file for file, _, _ in told] == [True, False]
    assert told[0][2] == told[1][2]


@pytest.mark.parametrize(
    ("key", "value"),
    [
        # Wild et al. 2023, J Exp Biol 226 jeb245657, colony methods (hatchlings: daily, mist
        # twice a day, greens from week 6).
        ("feeding.insects_hatchling_days", 1),
        ("feeding.mist_hatchling_a_day", 2),
        ("feeding.greens_from_weeks", 6),
        # A veterinary sheet that cannot be named: 2–12 months, 1–4 years, over 4 years.
        ("feeding.insects_young_days", 1),
        ("feeding.insects_adult_days", 2),
        ("feeding.insects_older_days", 4),
        # NSW hygiene advice (another lizard).
        ("cleaning.spot_days", 1),
        ("cleaning.dish_days", 7),
        # RSPCA (UK), by a summary.
        ("cleaning.water_days", 1),
        # RSPCA (UK) care sheet.
        ("climate.basking_c", (38.0, 42.0)),
        ("climate.cool_c", (22.0, 26.0)),
        ("climate.night_low_c", 20),
        # Quinn et al. 2007 Science 316:411; Holleley et al. 2015 Nature 523:79.
        ("climate.incubator_alarm_c", 32),
        # Tierschutz macht Schule, Dessen 2018, keepers.
        ("breeding.window_opens", 14),
        ("breeding.window_closes", 42),
        # WikiVet, "Lizard and Snake Dystocia".
        ("eggbinding.stopped_vet_hours", 48),
    ],
)
def test_the_default_is_the_published_figure(key: str, value: object) -> None:
    assert HOUSE.rule(key).value == value


@pytest.mark.parametrize(
    ("key", "grade"),
    [
        # The methods of one colony are B; what cannot be named is C.
        ("feeding.insects_hatchling_days", "B"),
        ("feeding.mist_hatchling_a_day", "B"),
        ("feeding.greens_from_weeks", "A"),
        ("feeding.greens_adult_days", "B"),
        ("feeding.insects_young_days", "C"),
        ("feeding.insects_adult_days", "C"),
        ("feeding.calcium_young_days", "C"),
        ("feeding.calcium_adult_days", "C"),
        ("feeding.calcium_hatchling_days", "house"),
        ("feeding.calcium_gravid_days", "house"),
        ("feeding.before_lights_off_hours", "house"),
        ("young.growth_percent_a_week", "house"),
        ("cleaning.water_days", "B"),
        ("cleaning.dish_days", "B"),
        ("climate.read_days", "house"),
        # The ceiling is what the papers tell of, not the band.
        ("climate.incubator_alarm_c", "A"),
        ("climate.incubator_c", "C"),
        ("health.quarantine_days", "house"),
    ],
)
def test_the_grade_is_that_of_the_source(key: str, grade: str) -> None:
    assert HOUSE.rule(key).grade == grade


def test_a_source_without_a_name_is_no_better_than_c() -> None:
    named = [one.rule for one in default_rules().values() if "cannot be named" in one.rule.source]
    assert named
    assert {rule.grade for rule in named} == {"C"}
    assert not [one.rule.key for one in default_rules().values() if "French" in one.rule.source]


def test_a_rule_of_a_weak_grade_says_so_wherever_it_is_cited() -> None:
    assert "agree it with your vet" in HOUSE.rule("eggbinding.check_days").cite()
    assert "agree it with your vet" in HOUSE.rule("breeding.window_opens").cite()
    assert "agree it with your vet" not in HOUSE.rule("climate.basking_c").cite()


def test_no_keeper_can_put_the_vet_off_beyond_the_48_hours() -> None:
    assert HOUSE.rule("eggbinding.stopped_vet_hours").most == 48


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ('[a.b]\nvalue = 1\nunit = "days"\ngrade = "D"\nsource = "x"\nsays = "x"\nleast = 1\nmost = 2', "grade"),
        ('[a.b]\nvalue = 1\nunit = "days"\ngrade = "A"\nsource = "x"\nsays = "x"', "least and most"),
        ('[a.b]\nvalue = 1\nleest = 2\nunit = "days"\ngrade = "A"\nsource = "x"\nsays = "x"', "leest"),
        (f'{RULE}\nbelow = "a.c"', "no rule"),
    ],
)
def test_a_default_that_does_not_explain_itself_is_refused(text: str, reason: str) -> None:
    with pytest.raises(ValueError, match=reason):
        default.read([("topic", text)])


def test_one_rule_cannot_stand_in_two_files() -> None:
    with pytest.raises(ValueError, match="stands in one too"):
        default.read([("one", RULE), ("two", RULE)])


def test_a_rule_that_is_said_in_words_cannot_be_changed() -> None:
    said = '[a.b]\nvalue = "any of the signs"\nunit = ""\ngrade = "B"\nsource = "x"\nsays = "x"'
    with pytest.raises(BadRule, match="cannot be changed"):
        changed_rules(default.read([("topic", said)]), {"a": {"b": "none"}})


def test_the_quick_reading_of_the_defaults_is_that_of_toml() -> None:
    for text in map(default_text, TOPICS):
        assert default.tables(text) == tomllib.loads(text)


@pytest.mark.parametrize(
    "text",
    [
        "[a.b]\nvalue = 1_000\n",
        "[a.b]\nvalue = 'it''s'\n".replace("''", "-"),
        "[a.b]\nvalue = 7 # days\n",
        "[a.b]\nvalue = [1,\n2]\n",
        '["a".b]\nvalue = 1\n',
        "[a]\nb.value = 1\n",
    ],
)
def test_what_is_not_plain_is_read_as_toml(text: str) -> None:
    assert default.tables(text) == tomllib.loads(text)


def test_a_member_twice_is_a_mistake_as_in_toml() -> None:
    with pytest.raises(ValueError, match="value"):
        default.tables("[a.b]\nvalue = 1\nvalue = 2\n")
