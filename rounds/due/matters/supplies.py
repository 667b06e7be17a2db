"""Supplies that run out or were not counted, and what is agreed for a day."""

from __future__ import annotations

from collections.abc import Iterator

from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look, cites, needs
from rounds.due.matters.wording import day, many
from rounds.logbook.entries import AppointmentMade, StockCounted, StockIn


@cites("supplies.order_days", "supplies.out_days", "supplies.order_for_days", "supplies.learn_days")
@needs(StockCounted, StockIn)
def runs_out(look: Look) -> Iterator[Matter]:
    """A supply lasts no longer than it takes to get more.

    Watch from the days on at which it is ordered (a house rule, or `order_days` in colony.toml); today when it
    lasts two days or less, or is out. Reckoned from the last count, what came in since and what is used.
    """
    from rounds.due.supplies import supplies  # late: no start has to wait for it
    from rounds.standing.supply import supply  # late: no start has to wait for it

    one = supply(look.standing, look.subject)
    begins = one.begins
    stock = supplies(look.standing, look.house, look.now).stock(look.subject)
    days = stock.days_left(look.round.day)
    if begins is None or days is None or stock.level is None:
        return
    name = stock.name
    out = days == 0
    assert stock.runs_out is not None
    when = "out" if out else f"out on {day(stock.runs_out)}, {stock.left or 0:,.0f} left"
    yield look.matter(
        runs_out,
        stock.level,
        f"{name}: {when}. Order {stock.order:,.10g} {stock.unit}.",
        since=begins.at,
        entries=(begins, *one.in_since[-2:]),
        house=stock.house,
        do=("Count it: that is surer than what is reckoned.", "Order, and write down what came in."),
        worsens="animals go without"
        if stock.level is Level.TODAY
        else f"today from {look.house.days('supplies.out_days')} days left on",
        acts=("stock counted", "stock in"),
    )


@cites("supplies.count_days")
@needs(StockCounted, StockIn)
def stock_not_counted(look: Look) -> Iterator[Matter]:
    """A supply was not counted for longer than the house rule, or never.

    Watch. One that colony.toml does not tell of is let go by counting 0 of it.
    """
    from rounds.due.supplies import supplies  # late: no start has to wait for it
    from rounds.standing.supply import supply  # late: no start has to wait for it

    one, found = supply(look.standing, look.subject), supplies(look.standing, look.house, look.now)
    begins, until = one.begins, found.count_on(look.subject)
    if begins is None or until is None or look.round.day <= until:
        return
    name, days = found.name(look.subject), look.days_since(begins.at)
    yield look.matter(
        stock_not_counted,
        Level.WATCH,
        f"{name}: not counted for {many(days, 'day')}." if one.counted else f"{name}: never counted.",
        since=begins.at,
        entries=(begins,),
        do=("Count it, and write it down.", "No longer kept? Count 0."),
        worsens="what is left is only reckoned",
        acts=("stock counted", "stock in"),
    )


@cites("walk.appointment_days")
@needs(AppointmentMade)
def appointment(look: Look) -> Iterator[Matter]:
    """Something is agreed for today, or was agreed for a day that passed and no one said whether it was kept.

    Today on its day. Watch from the day after, for the days of the house rule: was it kept? A visit of a vet on
    that day or later keeps it; so does an entry that says what became of it.
    """
    from rounds.standing.appointments import appointments, with_whom  # late: no start has to wait for it

    today = look.now.date()
    lasts = look.house.days("walk.appointment_days")
    waiting = [one for one in appointments(look.standing.page(look.subject)).waiting() if one.on <= today]
    by_day: dict[int, list[AppointmentMade]] = {}
    for one in waiting:
        by_day.setdefault((today - one.on).days, []).append(one)
    for ago, several in by_day.items():
        if ago > lasts:
            continue
        told = "; ".join(with_whom(one) for one in several)
        name = "" if look.subject == "room" else f"{look.name}: "
        on = several[0].on
        yield look.matter(
            appointment,
            Level.WATCH if ago else Level.TODAY,
            f"{name}{told}. {day(on)}: was it kept?" if ago else f"{name}{told}. Today.",
            since=look.midnight(on),
            entries=several,
            do=("Was it kept? Write it down, or agree another day.",)
            if ago
            else ("Have the notes at hand. Afterwards write down what became of it.",),
            worsens="it is forgotten" if ago else "tomorrow it is asked whether it was kept",
            acts=("vet seen", "appointment ended", "appointment"),
        )
