"""Due lines at a stop as short words, for tests: `feed insects b3`, `weigh wattle late 2`."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rounds.due.line import DueLine
from rounds.due.lines import lines_at
from rounds.logbook.words import WalkPart
from rounds.rules.changes import changed_rules
from rounds.rules.default import default_house, default_rules
from rounds.rules.house import House
from tests.notation import VIENNA, at, standing

HOUSE = default_house(VIENNA)


def house_with(**areas: Mapping[str, Any]) -> House:
    """A house with changes: `house_with(cleaning={"spot_days": 2})`."""
    return House(changed_rules(default_rules(), dict(areas)), VIENNA)


def lines(
    page: str, now: str, stop: str | None = "b3", part: WalkPart = "morning", house: House = HOUSE
) -> tuple[DueLine, ...]:
    """The due lines at a stop after a page of the logbook."""
    enclosure = None if stop is None else f"enclosure/{stop}"
    return lines_at(standing(page, house.zone), house, at(now, house.zone), enclosure, part)


def due(
    page: str, now: str, *cares: str, stop: str | None = "b3", part: WalkPart = "morning", house: House = HOUSE
) -> list[str]:
    """What is due at a stop (of these cares, or all) in short words."""
    return [words(line) for line in lines(page, now, stop, part, house) if not cares or line.care in cares]


def words(line: DueLine) -> str:
    """A due line in short words."""
    name = line.about.partition("/")[2]
    late = f" late {line.late_days}" if line.late_days else ""
    left_out = f" left out: {line.left_out.reason}" if line.left_out else ""
    return f"{line.care} {name}{late}{left_out}"
