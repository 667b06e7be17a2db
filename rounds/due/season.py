"""The season: of every female what was seen and what comes next, by days, and of every clutch when it hatches.

What was seen is drawn as it was written. What comes next is reckoned elsewhere, and goes in at two places:
`lay_spans` and `hatch_span`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime
from typing import Final, Literal, NamedTuple

from rounds.due.dates import day, days_after, days_before, span
from rounds.due.forecast import forecast_of
from rounds.due.hatching import hatch_forecast
from rounds.due.incubation import may_lie
from rounds.due.matter import Matter
from rounds.logbook.entries import Hatched
from rounds.logbook.times import days_between, months_after
from rounds.rules.house import House
from rounds.standing.as_of import as_of
from rounds.standing.breeding import Days
from rounds.standing.clutch import Clutch
from rounds.standing.enclosure import walking_order
from rounds.standing.female import Female, females_here
from rounds.standing.fold import Standing
from rounds.standing.rest import rest_words, rested
from rounds.standing.year import brumations

What = Literal[
    "brumation", "together", "window", "incubating", "hatches", "digging", "mated", "laid", "likely", "hatched"
]
#: A clutch of which none is left stays on the screen for so many days after its last young came out.
_LINGERS: Final = 56
#: So many days away a date is said with its year.
_FAR: Final = 300


class Mark(NamedTuple):
    """Something on the timeline, from its first day to its last; `number` is of eggs or young."""

    what: What
    first: date
    last: date
    number: int = 0


class Span(NamedTuple):
    """Days in which something is foreseen, with the likeliest, and the sentence of what this rests on."""

    first: date
    last: date
    likely: date | None = None
    says: str = ""


class Row(NamedTuple):
    """One line of the season: a female, or a clutch of the one above.

    `comes` are the days of what comes next, `says` the same in a few words, `why` what that rests on. `matter` is
    the worst about her.
    """

    subject: str
    name: str
    place: str | None
    marks: tuple[Mark, ...]
    says: str
    comes: Span | None = None
    why: str = ""
    matter: Matter | None = None
    #: Of a clutch: whose line it stands below.
    dam: str | None = None
    #: Of a clutch: every place in which eggs of it lie, in the order in which they were boxed.
    boxes: tuple[str, ...] = ()


def season(
    standing: Standing, house: House, now: datetime, matters: Iterable[Matter], first: Sequence[str] = ()
) -> tuple[Row, ...]:
    """A line for each female that is here, in walking order, each with her clutches that incubate below it.

    `matters` come worst first; `first` is the walking order of colony.toml. Clutches of a dam that is gone, or not
    known, come last.
    """
    standing = as_of(standing, now)
    worst: dict[str, Matter] = {}
    for matter in matters:
        if matter.put_off is None:
            worst.setdefault(matter.about, matter)
    order = {stop: number for number, stop in enumerate(walking_order(standing, first))}
    females = females_here(standing, house.breeding_days)
    last = len(order)
    females.sort(key=lambda her: (order.get(her.animal.place or "", last), her.animal.name.casefold(), her.subject))
    clutches = _clutches(standing, house, now)
    rows: list[Row] = []
    for her in females:
        rows.append(_female(her, house, now, worst))
        rows += [_clutch(standing, house, now, one, worst) for one in clutches.pop(her.subject, ())]
    for dam, others in clutches.items():
        whose = f" of {standing.name(dam)}" if dam else ", dam not known"
        rows += [_clutch(standing, house, now, one, worst, whose) for one in others]
    return tuple(rows)


# Where forecasts go in


def lay_spans(her: Female, now: datetime) -> tuple[Span, ...]:
    """The days in which she may lay, oldest first: the last by her forecast, those before by the house's window."""
    spans = [Span(one.opens, one.closes) for one in her.windows(now)]
    if spans and (found := forecast_of(her, now)) is not None:
        spans[-1] = Span(found.early, found.late, found.likely, f"{found.says}; {found.from_what}")
    return tuple(spans)


def hatch_span(standing: Standing, house: House, now: datetime, eggs: Clutch) -> Span | None:
    """The days in which a clutch hatches, by its forecast; None where it is not known when it was laid."""
    found = hatch_forecast(standing, house, now, eggs.subject)
    return Span(found.window_begins, found.late, found.likely, found.says) if found is not None else None


# A female


def _female(her: Female, house: House, now: datetime, worst: Mapping[str, Matter]) -> Row:
    spans = lay_spans(her, now)
    marks = [*_brumations(her, house, now), *_company(her, now), *_past_windows(her)]
    marks += [Mark("window", one.first, one.last) for one in spans]
    marks += [Mark("likely", one.likely, one.likely) for one in spans if one.likely is not None]
    marks += _days("digging", (entry.at for entry in her.dug_noted))
    marks += _days("mated", (entry.at for entry in her.matings_ever))
    marks += [
        Mark("laid", one.begun_at.date(), (one.last_egg or one.laid[-1]).at.date(), one.count)
        for one in her.clutches
        if one.begun_at is not None
    ]
    says, comes = _next(her, house, now, spans)
    return Row(
        her.subject,
        her.animal.name,
        her.animal.place,
        tuple(marks),
        says,
        comes,
        comes.says if comes is not None else "",
        worst.get(her.subject),
    )


def _next(her: Female, house: House, now: datetime, spans: Sequence[Span]) -> tuple[str, Span | None]:
    """What comes next of her, in a few words, and its days."""
    one, foreseen = her.animal, forecast_of(her, now)
    comes = spans[-1] if spans else None
    if her.laying is not None:
        return f"laying, {her.laying.count} so far", comes
    if (digs := her.digging(now)) is not None:
        return f"has dug since {day(digs.since, now)}", comes
    if foreseen is not None and not (foreseen.state == "over" and foreseen.why == "stored sperm"):
        waits = comes is not None and foreseen.state in ("not yet", "due")
        return f"due {_span(comes, now)}" if waits and comes is not None else foreseen.short, comes
    phase = her.phase(now)
    if one.brumating_since is not None:
        return f"brumating since {day(one.brumating_since, now)}", None
    if her.with_male_now is not None:
        return f"with a male since {day(her.with_male_now.since, now)}", None
    least = house.days("breeding.female_least_months")
    months = one.age_months(now)
    if one.hatched is not None and months is not None and months < least:
        return f"too young until {_month(one.hatched, least, now)}", None
    return (rest_words(rested(one, now)) or phase) if phase == "resting" else phase, None


def _month(hatched: date, months: int, now: datetime) -> str:
    ripe = months_after(hatched, months)
    return f"{ripe:%b %Y}" if ripe.year != now.year else f"{ripe:%b}"


def _span(comes: Span, now: datetime) -> str:
    """`30 Nov to 28 Dec`; the year where the day alone would be taken for another."""
    far = abs((comes.last - now.date()).days) > _FAR
    return span(comes.first, comes.last) + (f" {comes.last.year}" if far else "")


def _brumations(her: Female, house: House, now: datetime) -> list[Mark]:
    """Each brumation that was noted to begin, up to its end, or the best that was noted of that."""
    found: list[Mark] = []
    asleep = her.animal.brumating_since is not None
    every = brumations(her.animal, house.year_days)
    for one in every:
        if one.began is None:
            continue
        last = now if one is every[-1] and asleep else one.parts_seasons_at
        found.append(Mark("brumation", one.began.at.date(), max(one.began.at.date(), last.date())))
    return found


def _company(her: Female, now: datetime) -> list[Mark]:
    return [
        Mark("together", one.since.date(), (one.until or now).date()) for one in her.company if one.since <= now
    ]


def _past_windows(her: Female) -> list[Mark]:
    """Of each clutch the days from which she was watched, up to its first egg: by the matings before it."""
    found: list[Mark] = []
    before: date | None = None
    days: Days = her.days
    for eggs in sorted(her.clutches, key=lambda one: one.begun_at.timestamp() if one.begun_at else 0.0):
        if eggs.begun_at is None:
            continue
        laid = eggs.begun_at.date()
        mated = [
            entry.at.date()
            for entry in her.matings_ever
            if entry.at <= eggs.begun_at and (before is None or entry.at.date() > before)
        ]
        if mated and days_between(mated[0], laid) <= days.gravid_days:
            opens = days_after(mated[0], days.window_opens)
        elif before is not None and days_between(before, laid) <= days.stored_days:
            opens = days_after(before, days.next_opens)
        else:
            opens = laid
        if opens < laid:
            found.append(Mark("window", opens, days_before(laid, 1)))
        before = laid
    return found


def _days(what: What, moments: Iterable[datetime]) -> list[Mark]:
    return [Mark(what, one, one) for one in dict.fromkeys(moment.date() for moment in moments)]


# A clutch


def _clutches(standing: Standing, house: House, now: datetime) -> dict[str, list[Clutch]]:
    """Clutches that incubate, wait for a box, or hatched lately, by their dam ("" where none is known)."""
    found: dict[str, list[Clutch]] = {}
    longest = house.days("breeding.longest_incubation_days")
    for eggs in may_lie(standing, house, now):
        out = [entry.at for entry in eggs.page.of(Hatched) if entry.about == eggs.subject]
        lately = bool(out) and days_between(max(out), now) <= _LINGERS
        if eggs.begun_at is None:
            continue
        waits = eggs.complete is not None and eggs.unboxed and days_between(eggs.begun_at, now) <= longest
        if eggs.left_to_hatch or lately or waits:
            found.setdefault(eggs.dam or "", []).append(eggs)
    for some in found.values():
        some.sort(key=lambda one: (one.begun_at.timestamp() if one.begun_at else 0.0, one.subject))
    return found


def _clutch(
    standing: Standing,
    house: House,
    now: datetime,
    eggs: Clutch,
    worst: Mapping[str, Matter],
    whose: str = "",
) -> Row:
    assert eggs.begun_at is not None
    today, begun = now.date(), eggs.begun_at.date()
    left = eggs.left_to_hatch
    comes = hatch_span(standing, house, now, eggs) if left else None
    out = [entry for entry in eggs.page.of(Hatched) if entry.about == eggs.subject]
    since = min((box.at.date() for box in eggs.in_boxes.boxes), default=begun)
    marks: list[Mark] = []
    if eggs.boxed is not None and (left or out):
        ends = today if comes is None else max(today, comes.first)
        marks.append(Mark("incubating", since, ends if left else max(entry.at.date() for entry in out)))
    if comes is not None:
        marks.append(Mark("hatches", comes.first, comes.last))
        if comes.likely is not None:
            marks.append(Mark("likely", comes.likely, comes.likely))
    if out:
        first = min(entry.at.date() for entry in out)
        marks.append(Mark("hatched", first, max(entry.at.date() for entry in out), eggs.hatched))
    count = left or (eggs.hatched if out else eggs.unboxed)
    name = f"{count} egg{'s' * (count != 1)}" if left or not out else f"{count} young"
    name += whose
    if not left and not out:
        says = "not boxed"
    elif out and left:
        says = f"hatching: {eggs.hatched} out, {left} in"
    elif out:
        says = f"hatched {span(min(entry.at for entry in out), max(entry.at for entry in out))}"
    elif comes is None:
        says = f"in the incubator, day {days_between(begun, today)}"
    elif comes.last < today:
        says = f"hatches were due by {day(comes.last, now)}"
    else:
        opens = today < comes.first < comes.last
        says = f"hatches {_span(comes, now)}" if opens else f"hatches by {day(comes.last, now)}"
    return Row(
        eggs.subject,
        name,
        eggs.place,
        tuple(marks),
        says,
        comes,
        comes.says if comes is not None else "",
        worst.get(eggs.subject),
        eggs.dam or "",
        eggs.places_left,
    )
