"""What breeding brings in the next days: when females are due to lay, when eggs hatch, pairs to part."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Final

from rounds.due.coming import DAYS, Coming
from rounds.due.dates import day as day_of
from rounds.due.dates import days_after, days_before
from rounds.due.forecast import FORECAST_RULES, forecast_of
from rounds.due.hatching import hatch_forecast
from rounds.due.incubation import may_lie
from rounds.due.matter import Level
from rounds.due.reckon import matters_about
from rounds.due.round import walk_day
from rounds.logbook.entries import PutTogether
from rounds.rules.house import House
from rounds.standing.as_of import as_of
from rounds.standing.female import Female, females_here
from rounds.standing.fold import Standing
from rounds.standing.pairings import pairings_of

_HATCHES: Final = ("incubation.degree_days", "incubation.window_percent", "incubation.hatch_days")
#: A clutch begun so many times the longest incubation ago is looked at no more, whatever no one wrote of it.
_LOOKED_BACK: Final = 2


def windows(standing: Standing, house: House, now: datetime) -> Iterator[Coming]:
    """When a female is due to lay, likely lays, her window ends; and the day by which a lay box is ready.

    The day for the box is reckoned from the house's window, which never opens later than her forecast: what is said
    beside it is that window, so that day and dates are of one.
    """
    today = walk_day(now, house)
    seen = [(her, forecast_of(her, now)) for her in females_here(as_of(standing, now), house.breeding_days)]
    waiting = [(her, found) for her, found in seen if found is not None and today <= found.closes]
    for_vet = {
        matter.about
        for matter in matters_about(standing, house, now, [her.subject for her, _ in waiting])
        if matter.level >= Level.VET
    }
    for her, found in waiting:
        vet_first = _vet_first(her, her.subject in for_vet)
        rules, ready = FORECAST_RULES, days_before(found.opens, house.days("eggbinding.box_before_days"))
        if not her.has_lay_box and today <= found.closes and ready <= days_after(today, DAYS):
            rules_of_box = (*rules, "eggbinding.box_before_days")
            said = "opened" if found.opens <= today else "opens"
            why = ", ".join(filter(None, (vet_first, f"window {said} {day_of(found.opens, now)}")))
            yield Coming(day=ready, what="lay box", about=her.subject, why=why, house=rules_of_box)
        likely = found.left[1] if found.left is not None else found.likely
        next_clutch = vet_first or ("next clutch" if found.why == "stored sperm" else "")
        if found.early >= today:
            yield Coming(day=found.early, what="due to lay", about=her.subject, why=next_clutch, house=rules)
        if likely >= today and likely > found.early:
            yield Coming(day=likely, what="likely lays", about=her.subject, why=next_clutch, house=rules)
        if found.closes >= today:
            yield Coming(day=found.closes, what="window ends", about=her.subject, why=next_clutch, house=rules)


def _vet_first(her: Female, for_vet: bool) -> str:
    """What stands before any day of a forecast: a danger sign, a matter for the vet, a referral; or nothing."""
    if her.animal.danger:
        return "danger sign, vet first"
    if for_vet:
        return "for the vet"
    return "with the vet" if her.animal.with_the_vet is not None else ""


def hatches(standing: Standing, house: House, now: datetime) -> Iterator[Coming]:
    """When the eggs of a clutch begin to be watched, when they likely hatch, and by when."""
    standing, today = as_of(standing, now), walk_day(now, house)
    oldest = days_before(today, _LOOKED_BACK * house.days("breeding.longest_incubation_days"))
    for eggs in may_lie(standing, house, now):
        subject, begun = eggs.subject, eggs.begun_at
        if begun is None or walk_day(begun, house) < oldest:
            continue
        found = hatch_forecast(standing, house, now, subject)
        if found is None:
            continue
        if found.window_begins >= today:
            yield Coming(
                day=found.window_begins,
                what="hatch watch",
                about=subject,
                why=f"likely {day_of(found.likely)}",
                house=_HATCHES,
            )
        if found.likely >= today and found.likely > found.window_begins:
            yield Coming(day=found.likely, what="likely hatch", about=subject, house=_HATCHES)
        yield Coming(
            day=found.late,
            what="hatch by",
            about=subject,
            why=f"on day {(found.late - found.begun.date()).days}",
            house=_HATCHES,
        )


def pairs(standing: Standing, house: House, now: datetime) -> Iterator[Coming]:
    """Pairs that were put together, and the day from which they are parted."""
    standing = as_of(standing, now)
    for her in females_here(standing, house.breeding_days):
        if PutTogether not in her.animal.page.strands:
            continue
        for pair in pairings_of(standing, her.subject):
            if pair.her == her.subject and pair.until is None and standing.card(pair.him).here:
                yield Coming(
                    day=days_after(walk_day(pair.since, house), house.days("pairing.part_from_days")),
                    what="part",
                    about=her.subject,
                    why=f"from {standing.name(pair.him)}",
                    house=("pairing.part_from_days", "pairing.together_days"),
                )
