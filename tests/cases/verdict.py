"""What a case found, and the list of all cases."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Final, NamedTuple


class Verdict(NamedTuple):
    """What one case found: whether all held (None: it cannot be tried here), and the sentence with its counts."""

    holds: bool | None
    sentence: str

    @property
    def word(self) -> str:
        """The verdict in one word."""
        return "not tried" if self.holds is None else "holds" if self.holds else "BROKEN"


#: Tries one thing with the program at this path, in a folder of its own.
Trial = Callable[[Path, Path], Verdict]


class Case(NamedTuple):
    """One case: its name, what it tries, and whether it takes a second or two at most."""

    name: str
    about: str
    trial: Trial
    quick: bool


CASES: Final[dict[str, Case]] = {}


def case(name: str, about: str, *, quick: bool = False) -> Callable[[Trial], Trial]:
    """List a trial under its name."""

    def listed(trial: Trial) -> Trial:
        assert name not in CASES, f"two cases are called {name}"
        CASES[name] = Case(name, about, trial, quick)
        return trial

    return listed


def many(count: int, word: str, plural: str = "") -> str:
    """`1 entry`, `2,000 entries`."""
    return f"{count:,} {word if count == 1 else plural or word + 's'}"


def tells(said: str, *words: str) -> bool:
    """Whether what was said has one of these words."""
    return any(word in said.lower() for word in words)
