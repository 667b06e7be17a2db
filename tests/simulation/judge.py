"""The judge: what the program says of a standing, asked only through its public doors."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Protocol
from zoneinfo import ZoneInfo

from rounds.due.line import DueLine
from rounds.due.lines import lines_at
from rounds.due.matter import Matter
from rounds.due.reckon import matters, matters_about
from rounds.logbook.words import WalkPart
from rounds.rules.default import default_house
from rounds.rules.house import House
from rounds.standing.fold import Standing


class Judge(Protocol):
    """Whoever says what is due and what needs attention."""

    def lines(self, standing: Standing, now: datetime, stop: str, part: WalkPart) -> Sequence[DueLine]:
        """What is due at a stop."""

    def matters(self, standing: Standing, now: datetime, subjects: tuple[str, ...]) -> Sequence[Matter]:
        """What needs attention about these subjects; without any, about all."""


class Program:
    """The program with a house that has changed nothing, or another house."""

    def __init__(self, zone: ZoneInfo, house: House | None = None) -> None:
        self.house = house or default_house(zone)

    def lines(self, standing: Standing, now: datetime, stop: str, part: WalkPart) -> Sequence[DueLine]:
        return lines_at(standing, self.house, now, stop, part)

    def matters(self, standing: Standing, now: datetime, subjects: tuple[str, ...]) -> Sequence[Matter]:
        if subjects:
            return matters_about(standing, self.house, now, subjects)
        return matters(standing, self.house, now)


class NoRules:
    """A rule set from which everything was deleted: nothing is due and nothing needs attention."""

    def lines(self, standing: Standing, now: datetime, stop: str, part: WalkPart) -> Sequence[DueLine]:
        return ()

    def matters(self, standing: Standing, now: datetime, subjects: tuple[str, ...]) -> Sequence[Matter]:
        return ()
