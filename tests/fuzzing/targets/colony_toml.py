"""colony.toml: settings that every rule can be asked of, or a sentence."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Final

from rounds.desk.colony_file import FILE, load
from rounds.errors import BadRule
from rounds.rules.default import default_rules
from rounds.rules.recurrence import between
from rounds.rules.settings import Settings, settings_of
from tests.fuzzing.feed import Feed
from tests.fuzzing.targets import Taker
from tests.fuzzing.targets.values import answered, odd_text

_DEFAULTS: Final = default_rules()
_HEAD: Final = 'name = "Quandong shed"\ntime_zone = "Europe/Vienna"\n'
_LINES: Final = (
    'units = "metric"',
    'evening_from = "14:00"',
    "evening_from = 14:00:00",
    'lights_off = "20:00"',
    'date_order = "month-day"',
    'walking_order = ["B3", "B4"]',
    'desks = ["rack laptop"]',
    "[keepers]",
    'AK = "Anna K."',
    "[vet]",
    'phone = "08 5550 1234"',
    'name = "Dr Quoll"',
    "[house_rules]",
    "[house_rules.feeding]",
)
_VALUES: Final = (
    *("3", "40", "0", "-1", "1.5", "nan", "inf", "1e308", "[1, 2]", "[2, 1]", "[]", "{}", "true", "2026-03-02"),
    *('"FREQ=WEEKLY;BYDAY=MO"', '{ value = 3, source = "our vet, 2026" }', "{ value = 3, begins = 2026-03-02 }"),
    *('{ value = "FREQ=DAILY", begins = 1999-01-01 }', '{ value = 3, unit = "weeks" }', '"3 days"', "9" * 400),
)
_SIGNS: Final = ('"', "'", '"""', "[", "]", "{", "}", "=", ".", ",", "#", "\n", "\\", "\\u0000", "\0", "[[", "]]")


def prepared(folder: Path) -> Taker:
    """Takes the content of a colony.toml, of any bytes or built."""

    def take(content: bytes) -> None:
        feed = Feed(content)
        if feed.is_one_in(8):
            (folder / FILE).write_bytes(feed.rest() if feed.is_one_in(2) else _HEAD.encode() + feed.rest())
            try:
                _asked(load(folder))
            except BadRule as error:
                answered(error)
            return
        try:
            _asked(settings_of(_text(feed), _DEFAULTS))
        except BadRule as error:
            answered(error)

    return take


def _text(feed: Feed) -> str:
    lines = [_HEAD]
    while not feed.is_used_up and len(lines) < 12:
        how = feed.number(7)
        if how <= 2:
            lines.append(f"{feed.pick(tuple(_DEFAULTS))} = {feed.pick(_VALUES)}")
        elif how == 3:
            key = feed.pick(("name", "time_zone", "units", "evening_from", "keepers", "vet", "AK", "house_rules"))
            lines.append(f"{key} = {json.dumps(odd_text(feed)) if feed.is_one_in(2) else feed.pick(_VALUES)}")
        elif how == 4:
            lines.append(odd_text(feed).replace("\n", feed.pick(_SIGNS)) + feed.pick(_SIGNS))
        else:
            lines.append(feed.pick(_LINES))
    if feed.is_one_in(8):
        lines.pop(0)
    return "\n".join(lines)


def _asked(found: Settings) -> None:
    """What the program asks of settings at a start."""
    house = found.house
    assert house.breeding_days
    assert house.weight_limits
    for rule in house.rules.values():
        assert rule.cite()
        if rule.changed and isinstance(rule.value, str):
            begins = rule.begins or date(2024, 1, 1)
            between(rule.value, begins, begins, date(2026, 4, 12))
