"""What breeding brings in the next days: windows to lay, hatches, pairs to part."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from rounds.due.coming import Coming, last_day, later_day
from rounds.due.dates import days_before
from rounds.due.round import walk_day
from rounds.logbook.entries import EggsBoxed
from rounds.rules.house import House
from rounds.standing.as_of import as_of
from rounds.standing.clutch import clutch
from rounds.standing.female import females_here
from rounds.standing.fold import Standing

_WINDOW = ("breeding.window_opens", "breeding.window_closes", "breeding.next_clutch_days")


def windows(standing: Standing, house: House, now: datetime) -> Iterator[Coming]:
    """Windows to lay that open or end, and the day by which a lay box has to be ready."""
    today = walk_day(now, house)
    for her in females_here(as_of(standing, now), house.breeding_days):
        found = her.windows(now)
        if not found or her.laying is not None:
            continue
        window = found[-1]
        ready = days_before(window.opens, house.days("eggbinding.box_before_days"))
        why = {"mated": "", "with a male": "was with a male", "stored sperm": "next clutch"}[window.why]
        if not her.has_lay_box and today <= window.closes:
            opens = (
                "window open" if window.opens <= today else f"window opens in {(window.opens - today).days} days"
            )
            yield Coming(
                day=ready,
                what="lay box",
                about=her.subject,
                why=opens,
                house=(*_WINDOW, "eggbinding.box_before_days"),
            )
        if window.opens >= today:
            yield Coming(day=window.opens, what="window opens", about=her.subject, why=why, house=_WINDOW)
        if window.closes >= today:
            yield Coming(day=window.closes, what="window ends", about=her.subject, why=why, house=_WINDOW)


def hatches(standing: Standing, house: House, now: datetime) -> Iterator[Coming]:
    """The day on which eggs in their box have been there as long as any that hatched."""
    standing = as_of(standing, now)
    days = house.days("breeding.longest_incubation_days")
    last = last_day(house, now)
    for subject in standing.subjects("clutch"):
        if not standing.page(subject).of(EggsBoxed):
            continue
        eggs = clutch(standing, subject)
        if eggs.begun_at is None or not eggs.left_to_hatch:
            continue
        day = later_day(eggs.begun_at.date(), days)
        if day <= last:
            yield Coming(
                day=day,
                what="hatch by",
                about=subject,
                why=f"{eggs.left_to_hatch} eggs, day {days}",
                house=("breeding.longest_incubation_days",),
            )


def pairs(standing: Standing, house: House, now: datetime) -> Iterator[Coming]:
    """Pairs that were put together, and the day to part them."""
    standing = as_of(standing, now)
    days = house.days("pairing.together_days")
    for her in females_here(standing, house.breeding_days):
        for company in her.company:
            if company.until is not None or company.entry is None or company.mate is None:
                continue
            if not standing.card(company.mate).here:
                continue
            yield Coming(
                day=later_day(company.since.date(), days),
                what="part",
                about=her.subject,
                why=f"from {standing.name(company.mate)}",
                house=("pairing.together_days",),
            )
