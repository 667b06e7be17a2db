"""A matter for tests of the harness."""

from __future__ import annotations

from datetime import datetime

from rounds.due.matter import Level, Matter
from tests.simulation.rooms import HER


def vet(now: datetime) -> Matter:
    """A matter at vet about her."""
    return Matter(
        rule="test", about=HER, place=None, level=Level.VET, says="", since=now, entries=(), house=(), do=()
    )
