"""What a screen works out from a standing and shows until that is another one."""

from __future__ import annotations

from collections.abc import Callable
from typing import Generic, TypeVar

from rounds.standing.fold import Standing

Found = TypeVar("Found")


class FromStanding(Generic[Found]):
    """Something worked out from a standing: again for another standing, or once what else it rests on has changed.

    A standing is told from another by which it is: to compare two would open every page of the colony.
    """

    def __init__(self) -> None:
        self._standing: Standing | None = None
        self._rests_on: tuple[object, ...] = ()
        self._found: list[Found] = []

    def of(self, standing: Standing, *rests_on: object, by: Callable[[], Found]) -> Found:
        """What `by` gives, which is called only where the standing is another one, or what else it rests on."""
        if standing is not self._standing or rests_on != self._rests_on:
            self._found = [by()]
            self._standing, self._rests_on = standing, rests_on
        return self._found[0]
