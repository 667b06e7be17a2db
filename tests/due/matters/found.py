"""Matters after a page of the logbook in short words, for tests: `today no lay box wattle`."""

from __future__ import annotations

from rounds.due.matter import Matter
from rounds.due.matters import ALL, title
from rounds.due.reckon import matters
from rounds.rules.default import default_house
from rounds.rules.house import House
from tests.notation import VIENNA, at, standing

HOUSE = default_house(VIENNA)
_NAMES = {title(rule) for rule in ALL}

#: A room with two females and a male, apart.
ROOM = """
2026-03-01 AK
08:00 b3 enclosure_set_up name=B3
08:00 b4 enclosure_set_up name=B4
08:00 b5 enclosure_set_up name=B5
08:00 l1 enclosure_set_up name=L1 what="lay box"
08:01 wattle arrived name=Wattle sex=F hatched=2023-03-01 place=b3 bred_here=true
08:02 sedge arrived name=Sedge sex=F hatched=2023-03-01 place=b4 bred_here=true
08:03 karri arrived name=Karri sex=M hatched=2022-03-01 place=b5 bred_here=true
"""
DIG = 'behaviour_seen behaviour="nest digging"'


def all_found(page: str, now: str, house: House = HOUSE) -> tuple[Matter, ...]:
    """Every matter at that moment."""
    return matters(standing(page, house.zone), house, at(now, house.zone))


def found(page: str, now: str, *rules: str, house: House = HOUSE) -> list[str]:
    """The matters of these rules (or all), worst first, in short words."""
    assert set(rules) <= _NAMES, f"no such rule: {set(rules) - _NAMES}"
    return [words(matter) for matter in all_found(page, now, house) if not rules or matter.rule in rules]


def the(page: str, now: str, rule: str, house: House = HOUSE) -> Matter:
    """The one matter of this rule."""
    assert rule in _NAMES, f"no such rule: {rule}"
    (matter,) = [matter for matter in all_found(page, now, house) if matter.rule == rule]
    return matter


def words(matter: Matter) -> str:
    """A matter in short words."""
    name = matter.about.rpartition("/")[2]
    return f"{matter.level.word} {matter.rule} {name}"
