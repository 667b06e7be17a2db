"""The census of a clutch as it stands.

Every door that writes asks for it before (`rounds.desk.adding_up`).
"""

from __future__ import annotations

from rounds.logbook.census import Census, census_of
from rounds.standing.clutch import clutch
from rounds.standing.fold import Standing

__all__ = ["Census", "census"]


def census(standing: Standing, subject: str) -> Census:
    """The census of a clutch as it stands."""
    return census_of(clutch(standing, subject).boxings)
