"""How often what happened lay within the forecast, beside how often it should."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

#: From the 10th to the 95th percentile: so many of 100 are promised to lie within.
PROMISED: Final = 85


@dataclass(frozen=True)
class Case:
    """One forecast and what came of it: of which colony's course and sort, from how many own intervals."""

    course: str
    sort: str
    own: int
    early: date
    likely: date
    late: date
    came: date
    #: The first and the last day a forecast may name: the house's outer wall. None where there is none.
    wall: tuple[date, date] | None = None

    @property
    def within(self) -> bool:
        """Whether it came from the early to the late date, both among them."""
        return self.early <= self.came <= self.late

    @property
    def outside(self) -> bool:
        """Whether it came outside the wall, where no forecast can be right."""
        return self.wall is not None and not self.wall[0] <= self.came <= self.wall[1]


@dataclass(frozen=True)
class Row:
    """Cases together: parts of 100, and the days of the window and of the miss."""

    many: int
    within: float
    before: float
    after: float
    outside: float
    days_wide: float
    days_off: float


def row(cases: Sequence[Case]) -> Row:
    """What came of some cases."""
    many = len(cases) or 1
    off = sorted(abs((case.came - case.likely).days) for case in cases)
    return Row(
        len(cases),
        100 * sum(case.within for case in cases) / many,
        100 * sum(case.came < case.early for case in cases) / many,
        100 * sum(case.came > case.late for case in cases) / many,
        100 * sum(case.outside for case in cases) / many,
        sum((case.late - case.early).days + 1 for case in cases) / many,
        off[len(off) // 2] if off else 0,
    )


def own_words(own: int) -> str:
    """From how many own intervals it was forecast, in three sorts."""
    return "none" if own == 0 else "1 or 2" if own <= 2 else "3 or more"


def table(cases: Iterable[Case]) -> Iterator[str]:
    """The rows as a table of Markdown: each course and sort by the number of own intervals."""
    parts: dict[tuple[str, str], dict[str, list[Case]]] = {}
    for case in cases:
        by_own = parts.setdefault((case.course, case.sort), {})
        by_own.setdefault(own_words(case.own), []).append(case)
    heads = ("true course", "forecast", "own intervals", "forecasts", "within", "before", "after")
    yield f"| {' | '.join((*heads, 'outside the wall', 'days wide', 'median miss'))} |"
    yield "|---" * 10 + "|"
    for (course, sort), by_own in parts.items():
        for words in ("none", "1 or 2", "3 or more"):
            if words in by_own:
                found = row(by_own[words])
                yield (
                    f"| {course} | {sort} | {words} | {found.many} | {found.within:.0f} % | {found.before:.0f} % "
                    f"| {found.after:.0f} % | {found.outside:.0f} % | {found.days_wide:.0f} "
                    f"| {found.days_off:.0f} day{'s' * (found.days_off != 1)} |"
                )
