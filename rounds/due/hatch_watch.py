"""The hatch watch: from the day the window begins the eggs are looked at each day, box by box."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from rounds.due.hatching import Forecast, hatch_forecast, is_out
from rounds.due.line import DueLine
from rounds.due.round import Round
from rounds.logbook.entries import Candled, EggsSeen, Hatched
from rounds.standing.clutch import Clutch, clutches_in
from rounds.standing.enclosure import Enclosure


def hatch_lines(around: Round, box: Enclosure) -> Iterator[DueLine]:
    """A look at each clutch in this box, or on this shelf without a box, that may hatch now."""
    for eggs in clutches_in(around.standing, box.subject):
        found = hatch_forecast(around.standing, around.house, around.now, eggs.subject)
        if found is None or found.window_begins > around.day:
            continue
        last = _last_look(around, eggs, box.subject)
        due = found.window_begins if last is None else max(found.window_begins, last + timedelta(days=1))
        if due > around.day:
            continue
        yield DueLine(
            care="hatch watch",
            about=eggs.subject,
            place=box.subject,
            says=f"hatch watch: {eggs.called}, {_state(around, eggs, found, box.subject)}",
            due=due,
            late_days=around.late(due),
            plain=False,
            house=("incubation.degree_days", "incubation.window_percent", "incubation.hatch_days"),
            left_out=around.left_out("hatch watch", eggs.subject, box.subject),
        )


def _last_look(around: Round, eggs: Clutch, place: str) -> date | None:
    """The last day on which a keeper looked at these eggs: at those here, or without saying in which box."""
    every: list[EggsSeen | Hatched | Candled] = [
        *eggs.page.of(EggsSeen),
        *eggs.page.of(Hatched),
        *eggs.page.of(Candled),
    ]
    looks = [entry for entry in every if entry.about == eggs.subject and entry.place in (None, place)]
    return max((around.day_of(one) for one in looks), default=None)


def _state(around: Round, eggs: Clutch, found: Forecast, place: str) -> str:
    here, every = eggs.left_in(place), eggs.left_to_hatch
    many = f"{every}" if here is None or here == every else f"{here} of {every}"
    if not every:
        return "count what is left: it does not add up"
    if found.first_out is not None:
        first = "first out" if is_out(eggs) else "pipped"
        return f"{many} left, {first} {found.first_out.day} {found.first_out:%b}"
    sweat = [one for one in eggs.page.of(EggsSeen) if "sweating" in one.signs and one.place in (None, place)]
    if sweat and (around.day - around.day_of(sweat[-1])).days <= 1:
        return "sweating: may hatch within a day"
    if found.late < around.day:
        return f"{many} eggs, window ended {found.late.day} {found.late:%b}"
    return f"{many} eggs, until {found.late.day} {found.late:%b}"
