"""Many seasons on several processes: the same result whatever their number."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from multiprocessing import get_context
from typing import Final

from tests.simulation.assumed import Biology, Chance, Habits, Spread
from tests.simulation.courses import HEALTHY, SICK
from tests.simulation.judge import Judge, Program
from tests.simulation.measured import Sick, Well, sick, well
from tests.simulation.pen import ZONE
from tests.simulation.report import Measured
from tests.simulation.rooms import HER, TUB, alone, healthy_kinds, of_fifty


@dataclass(frozen=True)
class Plan:
    """What to grow: so many that go wrong and as many healthy ones, and rooms of fifty; from which seed."""

    many: int = 1000
    rooms: int = 4
    seed: int = 1
    habits: Habits = field(default_factory=Habits)
    biology: Biology = field(default_factory=Biology)

    def tasks(self) -> Iterator[tuple[str, int]]:
        """A course and a number for each season."""
        for number in range(self.rooms):
            yield "room", number
        for number in range(self.many):
            yield list(SICK)[number % len(SICK)], number // len(SICK)
        yield from healthy_kinds(self.many)


def one_season(plan: Plan, task: tuple[str, int], judge: Judge | None = None) -> Sick | Well:
    """Grow and judge one season. Without a judge it is the program with a house that has changed nothing."""
    name, number = task
    judge = judge or Program(ZONE)
    if name == "room":
        return well(of_fifty(number, plan.seed, plan.habits, plan.biology, judge), name, number)
    season, her = alone(name, number, plan.seed, plan.habits, plan.biology, judge)
    if name in SICK:
        return sick(season, her.course, number, (HER, TUB))
    return well(season, name, number)


def measure(plan: Plan, processes: int = 1, judge: Judge | None = None) -> Measured:
    """Grow and judge all of a plan."""
    grow = partial(one_season, plan, judge=judge)
    tasks = list(plan.tasks())
    results: list[Sick | Well] = []
    if processes > 1:
        with get_context().Pool(processes) as pool:
            results.extend(pool.imap(grow, tasks, chunksize=10 if plan.rooms == 0 else 1))
    else:
        results.extend(map(grow, tasks))
    return Measured(
        plan.seed,
        tuple(one for one in results if isinstance(one, Sick)),
        tuple(one for one in results if isinstance(one, Well) and one.course in HEALTHY),
        tuple(one for one in results if isinstance(one, Well) and one.course == "room"),
    )


def _sooner(spread: Spread, factor: float) -> Spread:
    return Spread(spread.median * factor, spread.sigma, spread.least * factor, spread.most * factor)


def _times(factor: float) -> Callable[[Plan], Plan]:
    def change(plan: Plan) -> Plan:
        biology = plan.biology
        return replace(
            plan,
            biology=replace(
                biology,
                retained_days=_sooner(biology.retained_days, factor),
                part_days=_sooner(biology.part_days, factor),
                stasis_days=_sooner(biology.stasis_days, factor),
            ),
        )

    return change


def _habits(**members: float) -> Callable[[Plan], Plan]:
    return lambda plan: replace(plan, habits=replace(plan.habits, **members))  # type: ignore[arg-type]


def _misses_twice(plan: Plan) -> Plan:
    habits = plan.habits
    return replace(
        plan,
        habits=replace(
            habits,
            misses_day=Chance(2 * habits.misses_day),
            misses_morning=Chance(2 * habits.misses_morning),
            misses_evening=Chance(2 * habits.misses_evening),
        ),
    )


#: What is varied, one at a time.
VARIED: Final[Sequence[tuple[str, Callable[[Plan], Plan]]]] = (
    ("as assumed", lambda plan: plan),
    ("signs seen half as often", _habits(sees=0.5)),
    ("twice as many walks missed", _misses_twice),
    ("no weights at all", _habits(weighs=0.0)),
    ("no word about food", _habits(refusal_noted=0.0, eating_noted=0.0, off_food_ticked=0.0)),
    ("every check by Enter alone", _habits(enters_through=1.0)),
    ("no danger sign is ever written", _habits(danger_seen=0.0, danger_at_check=0.0)),
    ("the hour of no return comes in two thirds of the time", _times(2 / 3)),
    ("… in half as much time again", _times(1.5)),
)
