"""What breeding brings in the next days: windows to lay, hatches, pairs to part."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from rounds.due.coming import Coming, last_day, later_day
from rounds.due.dates import days_before
from rounds.due.hatching import hatch_forecast
from rounds.due.round import walk_day
from rounds.logbook.entries import EggsBoxed
from rounds.rules.house import House
from rounds.standing.as_of import as_of
from rounds.standing.clutch import clutch
from rounds.standing.female import females_here
from rounds.standing.fold import Standing

_HATCH = ("incubation.degree_days", "incubation.window_percent", "breeding.longest_incubation_days")
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
    """The first and the last day of the hatch window of each clutch that lies in a box."""
    standing = as_of(standing, now)
    last = last_day(house, now)
    today = walk_day(now, house)
    for subject in standing.subjects("clutch"):
        if not standing.page(subject).of(EggsBoxed):
            continue
        eggs = clutch(standing, subject)
        if eggs.begun_at is None or not eggs.left_to_hatch:
            continue
        found = hatch_forecast(standing, house, now, subject)
        if found is None:
            continue
        if today <= found.early <= last:
            until = f"until {found.late.day} {found.late:%b}"
            yield Coming(day=found.early, what="hatch watch", about=subject, why=until, house=_HATCH)
        if found.late <= last:
            yield Coming(
                day=found.late,
                what="hatch by",
                about=subject,
                why=f"{eggs.left_to_hatch} eggs, day {(found.late - found.begun.date()).days}",
                house=_HATCH,
            )


def pairs(standing: Standing, house: House, now: datetime) -> Iterator[Coming]:
    """Pairs that were put together, and the day to part them."""
    standing = as_of(standing, now)
    days = house.days("pairing.together_days")
    for her in females_here(standing, house.breeding_days):
        company = her.with_male_now
        if company is not None and company.entry is not None:
            him = standing.name(company.mate) if company.mate else "the male"
            yield Coming(
                day=later_day(company.since.date(), days),
                what="part",
                about=her.subject,
                why=f"from {him}",
                house=("pairing.together_days",),
            )
