"""Who lives in a room: one female with those around her, or a healthy room of fifty."""

from __future__ import annotations

from collections.abc import Callable
from random import Random
from typing import Final

from rounds.logbook.words import Sex
from tests.simulation.assumed import Biology, Habits
from tests.simulation.courses import DAY, HEALTHY, Course, Noted, grown
from tests.simulation.dwellers import SHELF, Dweller
from tests.simulation.judge import Judge
from tests.simulation.season import Season, Stop

#: Age in days of breeding females when the season begins: from 24 months on, a house rule of most.
_AGES = (760, 2200)
HER, TUB = "animal/wattle", "enclosure/b1"


def noted(habits: Habits) -> Callable[[Random], Noted]:
    """How the company of a male is written down when the mating was not seen."""

    def how(rng: Random) -> Noted:
        if rng.random() >= habits.company_noted:
            return ""
        return "moved" if rng.random() < habits.by_moving else "put together"

    return how


def resting(seed: str, days: int, first: float, last: float, biology: Biology) -> Course:
    """An animal that only lives: its weight goes from one to another over the season."""
    rng = Random(seed)
    course = Course("resting", days, [(0.0, first), (biology.season_days * DAY, last)])
    for day in range(days):
        if rng.random() < biology.idle_digging:
            course.dig_days.add(day)
        if rng.random() < biology.quiet:
            course.quiet_days.add(day)
    return course


#: Ten healthy ones in turn, each kind in its part.
TEN: Final = tuple(name for name, (_, share) in HEALTHY.items() for _ in range(round(10 * share)))


def healthy_kinds(many: int) -> list[tuple[str, int]]:
    """The names of so many healthy courses, each kind in its part and numbered from 0."""
    names = [TEN[place % len(TEN)] for place in range(many)]
    return [(name, names[:place].count(name)) for place, name in enumerate(names)]


def alone(
    name: str, number: int, seed: int, habits: Habits, biology: Biology, judge: Judge
) -> tuple[Season, Dweller]:
    """The season of one female, in her tub (perhaps with another), a male and a young one beside her."""
    key = f"{seed} {name} {number}"
    rng = Random(f"{key} room")
    course = grown(name, f"{key} course", biology, noted(habits))
    with_a_male = name not in ("never with a male", "follicles, no mate")
    her = Dweller(HER, "Wattle", "F", TUB, course, rng.randint(*_AGES))
    here = [her]
    if rng.random() < habits.shared:
        grams = rng.uniform(biology.grams.least, biology.grams.most)
        mate = Dweller(
            "animal/hakea", "Hakea", "F", TUB, resting(f"{key} mate", course.days, grams, grams, biology), 1500
        )
        mate.mates, her.mates = (HER,), (mate.subject,)
        here.append(mate)
    others = [Dweller("animal/correa", "Correa", "?", "enclosure/y1", resting("young", 1, 30, 40, biology), 120)]
    if with_a_male:
        her.male = "animal/ironbark"
        others.append(
            Dweller(her.male, "Ironbark", "M", "enclosure/ironbark", resting("male", 1, 450, 450, biology), 1300)
        )
    return Season(key, [Stop(TUB, tuple(here))], others, habits, biology, judge, (HER, TUB)), her


def of_fifty(number: int, seed: int, habits: Habits, biology: Biology, judge: Judge) -> Season:
    """A healthy room: 22 breeding females, 10 males, 10 young, 8 that rest; and the incubator."""
    key = f"{seed} room {number}"
    rng = Random(key)
    stops: list[Stop] = []
    males = [f"animal/m{place}" for place in range(1, 11)]

    def lives(name: str, sex: Sex, tub: str, course: Course, age: int) -> Dweller:
        return Dweller(f"animal/{name}", name.upper(), sex, tub, course, age)

    kinds = [name for name, _ in healthy_kinds(22)]
    rng.shuffle(kinds)
    for place, kind in enumerate(kinds):
        # The last four live two and two.
        tub = f"enclosure/f{place + 1 if place < 18 else 19 + (place - 18) // 2}"
        course = grown(kind, f"{key} female {place}", biology, noted(habits))
        one = lives(f"f{place + 1}", "F", tub, course, rng.randint(*_AGES))
        one.male = males[place % 10]
        if stops and stops[-1].enclosure == tub:
            other = stops[-1].dwellers[0]
            one.mates, other.mates = (other.subject,), (one.subject,)
            stops[-1] = Stop(tub, (other, one))
        else:
            stops.append(Stop(tub, (one,)))
    days = biology.season_days
    for place, male in enumerate(males):
        grams = rng.uniform(400, 600)
        name = male.partition("/")[2]
        course = resting(f"{key} {male}", days, grams, grams, biology)
        stops.append(Stop(f"enclosure/{name}", (lives(name, "M", f"enclosure/{name}", course, 900 + 60 * place),)))
    for first, many in ((1, 4), (5, 3), (8, 3)):
        tub = f"enclosure/y{first}"
        young = []
        for place in range(first, first + many):
            grams = rng.uniform(60, 110)
            # Some 7 % a week at first, half of that later.
            course = resting(f"{key} young {place}", days, grams, grams * rng.uniform(3.0, 3.6), biology)
            course.weights[:1] = [(-84 * DAY, 0.4 * grams), (0.0, grams), (70 * DAY, 2 * grams)]
            young.append(lives(f"y{place}", "?", tub, course, 110 + place))
        stops.append(Stop(tub, tuple(young)))
    for place in range(8):
        grams = rng.uniform(350, 560)
        course = resting(f"{key} rests {place}", days, grams, grams, biology)
        sex: Sex = "F" if place % 2 else "M"
        name = f"r{place + 1}"
        stops.append(Stop(f"enclosure/{name}", (lives(name, sex, f"enclosure/{name}", course, 1800 + 90 * place),)))
    stops.append(Stop(SHELF, ()))
    return Season(key, stops, (), habits, biology, judge)
