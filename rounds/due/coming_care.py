"""Care that comes in the next days: weighings, counts, cleans, lamps, egg boxes, ends of quarantine and treatment.

What falls due is asked of the rules that say so on the walk: once for today, and once for the last day, as it will
be if nothing is done until then. So the two cannot differ.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import date, datetime

from rounds.due.cleaning import clean_lines
from rounds.due.climate import lamp_lines
from rounds.due.coming import Coming, last_day, round_on
from rounds.due.counting import count_lines
from rounds.due.dates import days_after, days_before
from rounds.due.egg_boxes import egg_box_lines
from rounds.due.line import DueLine
from rounds.due.round import Round, walk_day
from rounds.due.weighing import AND_FEEL, weigh_lines
from rounds.rules.house import House
from rounds.standing.animal import Animal, animal
from rounds.standing.as_of import as_of
from rounds.standing.egg_boxes import holds_eggs
from rounds.standing.enclosure import enclosure
from rounds.standing.fold import Standing
from rounds.standing.group import group

Lines = Callable[[Round], Sequence[DueLine]]


def living(standing: Standing) -> Iterator[Animal]:
    """Every animal and group that is here, by id."""
    for subject in standing.subjects("animal"):
        if standing.card(subject).here:
            yield animal(standing, subject)
    for subject in standing.subjects("group"):
        if standing.card(subject).here:
            yield group(standing, subject)


def first_due(standing: Standing, house: House, now: datetime, lines: Lines) -> Iterator[tuple[DueLine, date]]:
    """Each line that is due today or comes within the days looked at, with the day on which it falls due first."""
    today, last = walk_day(now, house), last_day(house, now)
    found = {(line.care, line.about): line for line in lines(round_on(standing, house, now, today))}
    for line in found.values():
        yield line, days_after(today, 1) if line.left_out is not None else line.due
    if last <= today:
        return
    for line in lines(round_on(standing, house, now, last)):
        if (line.care, line.about) in found or line.due <= today:
            continue
        yield line, line.due if line.due < last else _first_day(standing, house, now, lines, line, today, last)


def _first_day(
    standing: Standing, house: House, now: datetime, lines: Lines, line: DueLine, after: date, last: date
) -> date:
    """The first day on which a line is due that is due on the last: of care never noted it says that day itself."""
    low, high = after.toordinal(), last.toordinal()
    while high - low > 1:
        middle = (low + high) // 2
        there = lines(round_on(standing, house, now, date.fromordinal(middle)))
        if any((one.care, one.about) == (line.care, line.about) for one in there):
            high = middle
        else:
            low = middle
    return date.fromordinal(high)


def weighings(standing: Standing, house: House, now: datetime) -> Iterator[Coming]:
    """The next weighing of each animal and group."""
    standing = as_of(standing, now)
    for one in living(standing):
        place = standing.places.get(one.subject)

        def lines(around: Round, one: Animal = one, place: str | None = place) -> list[DueLine]:
            return list(weigh_lines(around, place, one))

        for line, day in first_due(standing, house, now, lines):
            why = line.says.removeprefix(AND_FEEL).removeprefix("weigh").removesuffix(", the mean of one")
            why = why.lstrip(", ")
            yield Coming(day=day, what="weigh", about=line.about, why=why, house=line.house)


def lamps(standing: Standing, house: House, now: datetime) -> Iterator[Coming]:
    """UV lamps to be changed."""
    for line, day in _of_enclosures(standing, house, now, _lamp_lines):
        yield Coming(day=day, what="lamp", about=line.about, why="change the UV lamp", house=line.house)


def full_cleans(standing: Standing, house: House, now: datetime) -> Iterator[Coming]:
    """Full cleans; of those fixed to the calendar each day on which one comes round."""
    rule = house.rule("cleaning.full_days")
    today, last = walk_day(now, house), last_day(house, now)
    fixed: tuple[date, ...] = ()
    if isinstance(rule.value, str):
        # Only a colony that sets recurrence rules reads that module.
        from rounds.rules.recurrence import BEGINS, between

        fixed = between(rule.value, rule.begins or BEGINS, days_after(today, 1), last)
    for line, day in _of_enclosures(standing, house, now, _full_lines):
        yield Coming(day=day, what="full clean", about=line.about, house=line.house)
        for other in fixed:
            if other > day:
                yield Coming(day=other, what="full clean", about=line.about, house=line.house)


def _of_enclosures(
    standing: Standing, house: House, now: datetime, lines_of: Callable[[Round, str], list[DueLine]]
) -> Iterator[tuple[DueLine, date]]:
    standing = as_of(standing, now)
    for subject in standing.subjects("enclosure"):
        if standing.card(subject).here and standing.living_in(subject):
            yield from first_due(standing, house, now, lambda around, subject=subject: lines_of(around, subject))  # type: ignore[misc]


def _lamp_lines(around: Round, subject: str) -> list[DueLine]:
    tub = enclosure(around.standing, subject)
    return list(lamp_lines(around, tub, [around.who(who) for who in tub.living]))


def _full_lines(around: Round, subject: str) -> list[DueLine]:
    return [line for line in clean_lines(around, enclosure(around.standing, subject)) if line.care == "full clean"]


def egg_boxes(standing: Standing, house: House, now: datetime) -> Iterator[Coming]:
    """Egg boxes to be topped up and weighed, and clutches to be candled.

    Water that is asked for now stands for itself: the next weighing of the box comes all the same.
    """
    standing = as_of(standing, now)
    for place in standing.subjects("enclosure"):
        if not (standing.card(place).here and holds_eggs(standing, place)):
            continue
        where = f", {standing.name(place)}"
        for asked in ("top up", "egg box", "candle"):

            def lines(around: Round, place: str = place, asked: str = asked) -> list[DueLine]:
                return [line for line in egg_box_lines(around, place) if _asked(line) == asked]

            for line, day in first_due(standing, house, now, lines):
                # Within the days that candling may take it is due and not late.
                day = max(day, days_before(walk_day(now, house), line.late_days))
                says = line.says.removeprefix("top up ").partition(", day ")[0]
                why = says if line.about == place else says + where
                yield Coming(day=day, what=asked, about=line.about, why=why, house=line.house)


def _asked(line: DueLine) -> str:
    """What a line of an egg box asks for, in the words of the fourteen days."""
    return "top up" if line.says.startswith("top up") else line.care


def counts(standing: Standing, house: House, now: datetime) -> Iterator[Coming]:
    """Young counted together, to be counted again."""
    standing = as_of(standing, now)
    for subject in standing.subjects("group"):
        if not standing.card(subject).here:
            continue
        one = group(standing, subject)

        def lines(around: Round, one: Animal = one) -> list[DueLine]:
            return list(count_lines(around, standing.places.get(one.subject), one))

        for line, day in first_due(standing, house, now, lines):
            yield Coming(day=day, what="count", about=line.about, house=line.house)


def quarantines(standing: Standing, house: House, now: datetime) -> Iterator[Coming]:
    """The day on which a quarantine has lasted as long as the house rule, if no test is in the way."""
    days = house.days("health.quarantine_days")
    for one in living(as_of(standing, now)):
        since = one.quarantine_since
        if since is not None:
            day = days_after(since.date(), days)
            yield Coming(
                day=day,
                what="quarantine",
                about=one.subject,
                why=f"{days} days over: end it when tests are clear",
                house=("health.quarantine_days",),
            )


def treatments(standing: Standing, house: House, now: datetime) -> Iterator[Coming]:
    """The last day of a treatment, as the vet gave it."""
    today = walk_day(now, house)
    for one in living(as_of(standing, now)):
        seen = one.under_treatment(now)
        if seen is not None and seen.under_treatment_until is not None and seen.under_treatment_until >= today:
            yield Coming(
                day=seen.under_treatment_until, what="treatment ends", about=one.subject, why=seen.treatment
            )
