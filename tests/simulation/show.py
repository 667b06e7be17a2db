"""One female's season as a page to read: what was true, what was written, what was due, what needed attention."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from rounds.due.matter import Level, Matter
from rounds.logbook.entries import (
    Arrived,
    Cleaned,
    ClimateRead,
    EnclosureSetUp,
    Entry,
    Fed,
    LampChanged,
    Misted,
    StopWalked,
    Watered,
)
from tests.simulation.courses import DAY, Course
from tests.simulation.judge import Program
from tests.simulation.pen import ZONE, moment
from tests.simulation.rooms import alone, of_fifty
from tests.simulation.run import Plan
from tests.simulation.season import Walked

_ROUTINE = (Arrived, Cleaned, ClimateRead, EnclosureSetUp, Fed, LampChanged, Misted, StopWalked, Watered)
_NOT_SHOWN = frozenset({"climate", "lamp"})


def page(plan: Plan, name: str, number: int, every: bool = False) -> Iterator[str]:
    """Her page. Walks on which nothing was written and nothing changed are left out unless `every`."""
    season, her = alone(name, number, plan.seed, plan.habits, plan.biology, Program(ZONE))
    course = her.course
    yield f"{name} {number}, seed {plan.seed}: {', '.join(one.name for one in season.dwellers)} in B1"
    yield from truth(course)
    yield ""
    before: dict[tuple[str, str], tuple[int, str]] = {}
    for walk in season.walks():
        lines = list(_walk(walk, before, every))
        if lines:
            yield f"{walk.now:%a %d %b} {walk.part}, day {walk.day} · {state(course, walk.hour)}"
            yield from lines


def room_page(plan: Plan, number: int) -> Iterator[str]:
    """A room of fifty, walk by walk: what was asked for, and each matter of today or worse as it comes."""
    season = of_fifty(number, plan.seed, plan.habits, plan.biology, Program(ZONE))
    before: dict[tuple[str, str], int] = {}
    for walk in season.walks():
        cares = Counter(line.care for line in walk.lines if not line.plain)
        yield f"{walk.now:%a %d %b} {walk.part}, day {walk.day} · " + ", ".join(
            f"{care} {many}" for care, many in cares.most_common()
        )
        now = {(one.rule, one.about): one for one in walk.matters if one.level >= Level.TODAY}
        for key, one in now.items():
            if before.get(key, 0) < one.level:
                yield f"  + {_matter(one)}"
        before = {key: int(one.level) for key, one in now.items()}


def truth(course: Course) -> Iterator[str]:
    """What is true of the whole season."""
    for company in course.companies:
        told = company.noted or "not at all"
        yield f"  with a male {_when(company.began)} to {_when(company.ended)}, noted: {told}"
    for mated in course.matings:
        yield f"  mated {_when(mated)}{', seen' if mated in course.matings_seen else ', not seen'}"
    for laying in course.layings:
        yield f"  lays {laying.eggs} of {laying.whole} {_when(laying.began)} to {_when(laying.ended)}"
    if course.trouble is not None and course.no_return is not None and course.death is not None:
        yield f"  TROUBLE {_when(course.trouble)}"
        yield f"  NO RETURN {_when(course.no_return)}, death {_when(course.death)}"
        shows = ", ".join(_when(day * DAY + 12)[:6] for day in sorted(course.danger))
        yield f"  danger signs show on {shows}"


def state(course: Course, hour: float) -> str:
    """What is true of her at an hour."""
    day = int(hour // DAY)
    parts = [f"truly {course.grams(hour):.0f} g"]
    if course.no_return is not None and course.trouble is not None:
        if hour < course.trouble:
            parts.append(f"{(course.trouble - hour) / DAY:.1f} d to trouble")
        else:
            parts.append(f"IN TROUBLE, {(course.no_return - hour) / DAY:.1f} d to no return")
    if day in course.dig_days:
        parts.append("digs")
    if course.leaves_food(hour):
        parts.append("off food")
    if course.eggs_can_be_felt(hour):
        parts.append("eggs in her")
    parts.extend(course.danger.get(day, ()))
    return ", ".join(parts)


def _walk(walk: Walked, before: dict[tuple[str, str], tuple[int, str]], every: bool) -> Iterator[str]:
    for entry in walk.entries:
        if not isinstance(entry, _ROUTINE):
            yield f"    wrote  {_entry(entry)}"
    now = {(one.rule, one.about): one for one in walk.matters}
    told = {key: (int(one.level), one.says) for key, one in now.items()}
    changed = told.keys() != before.keys() or any(told[key][0] != before[key][0] for key in told)
    if changed or every:
        asked = [line for line in walk.lines if not line.plain and line.care not in _NOT_SHOWN]
        for line in asked:
            late = f", {line.late_days} d late" if line.late_days else ""
            yield f"    due    {line.care} {line.about}{late}: {line.says}"
        for key, one in now.items():
            old = before.get(key, (0, ""))[0]
            sign = "=" if old == one.level else "+" if old < one.level else "-"
            yield f"  {sign} {_matter(one)}"
        for rule, about in before.keys() - now.keys():
            yield f"  - gone: {rule} {about}"
    before.clear()
    before.update(told)


def _entry(entry: Entry) -> str:
    late = f" (written {entry.written:%d %b %H:%M})" if entry.written else ""
    return f"{entry.at:%d %b %H:%M} {entry.about.partition('/')[2]}: {entry.phrase()}{late}"


def _matter(one: Matter) -> str:
    put_off = ", put off" if one.put_off is not None else ""
    return f"{one.level.word.upper():8} [{one.rule}{put_off}] {one.says}"


def _when(hour: float) -> str:
    return f"{moment(hour):%d %b %H:%M}"
