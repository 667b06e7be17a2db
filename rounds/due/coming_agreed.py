"""What was agreed for the next days, what was put off to one of them, and what has to be ordered."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime

from rounds.due.coming import Coming
from rounds.due.dates import days_after, days_before
from rounds.due.matter import Level
from rounds.due.reckon import matters_about
from rounds.due.round import walk_day
from rounds.due.supplies import supplies
from rounds.logbook.entries import ROOM, AppointmentMade, PutOff, Referred, VetCalled, VetSeen
from rounds.logbook.plain import folded
from rounds.rules.house import House
from rounds.standing.appointments import appointments, with_whom
from rounds.standing.as_of import as_of
from rounds.standing.fold import Standing


def agreed(standing: Standing, house: House, now: datetime) -> Iterator[Coming]:
    """Appointments, days for which an animal was referred, and days by which a vet wants to hear of it."""
    standing = as_of(standing, now)
    oldest = days_before(walk_day(now, house), house.days("walk.appointment_days"))
    for subject in (*standing.subjects("animal"), *standing.subjects("group"), ROOM):
        if not standing.card(subject).here:
            continue
        page = standing.page(subject)
        if not any(kind in page.strands for kind in (AppointmentMade, Referred, VetCalled, VetSeen)):
            continue
        found, told = appointments(page), list[AppointmentMade]()
        for one in found.waiting():
            if one.on < oldest:
                continue
            told.append(one)
            yield Coming(day=one.on, what="appointment", about=subject, why=with_whom(one), clock=one.clock or "")
        referred = found.referred_for
        if referred is not None and not any(_is_that_visit(one, *referred) for one in told):
            yield Coming(day=referred[0], what="vet", about=subject, why=f"referred to {referred[1].to or 'a vet'}")
        if (by := found.vet_by) is not None:
            yield Coming(day=by[0], what="vet", about=subject, why="wants to see or hear of it")


def _is_that_visit(one: AppointmentMade, day: date, referred: Referred) -> bool:
    """Whether an appointment is the visit that an animal was referred for: that day, and with that vet."""
    whom = folded(one.whom)
    return one.on == day and (not whom or whom == folded(referred.to) or "vet" in whom.split())


def orders(standing: Standing, house: House, now: datetime) -> Iterator[Coming]:
    """Supplies to be ordered, and the day on which each runs out."""
    found = supplies(standing, house, now)
    for stock in found.every():
        if stock.runs_out is None:
            continue
        if stock.order:
            yield Coming(
                day=found.today,
                what="order",
                about=stock.subject,
                why=f"{stock.order:,.10g} {stock.unit}",
                house=stock.house,
            )
        elif stock.order_on is not None:
            yield Coming(day=stock.order_on, what="order", about=stock.subject, house=stock.house)
        yield Coming(day=stock.runs_out, what="runs out", about=stock.subject, house=stock.house)


def supply_counts(standing: Standing, house: House, now: datetime) -> Iterator[Coming]:
    """Supplies to be counted again."""
    found = supplies(standing, house, now)
    for subject in found.subjects():
        if (day := found.count_on(subject)) is not None:
            yield Coming(day=day, what="count", about=subject, house=("supplies.count_days",))


def put_off(standing: Standing, house: House, now: datetime) -> Iterator[Coming]:
    """Matters put off, on the day on which each is open again: the keeper's, or for the vet the next day."""
    standing, today = as_of(standing, now), walk_day(now, house)
    waiting = [
        subject
        for sort in ("animal", "group", "enclosure", "clutch", "supply")
        for subject in standing.subjects(sort)
        if _is_put_off(standing, subject, today)
    ]
    waiting += [ROOM] if _is_put_off(standing, ROOM, today) else []
    for matter in matters_about(standing, house, now, waiting) if waiting else ():
        if (until := matter.put_off) is not None:
            day = until.until
            if matter.level >= Level.VET:
                day = min(day, days_after(until.at.date(), 1))
            yield Coming(
                day=day,
                what="put off",
                about=matter.about,
                why=f"{matter.rule}: {until.reason}",
                house=matter.house,
            )


def _is_put_off(standing: Standing, subject: str, today: date) -> bool:
    page = standing.page(subject)
    return PutOff in page.strands and any(one.until >= today for one in page.of(PutOff))
