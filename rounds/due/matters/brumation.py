"""Brumation begun before the animal was fit for it."""

from __future__ import annotations

from collections.abc import Iterator

from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look, cites, needs
from rounds.due.matters.wording import many
from rounds.logbook.entries import BrumationBegan, Entry, Tested
from rounds.logbook.times import days_between, months_between


@cites("brumation.least_months", "brumation.faecal_test_days")
@needs(BrumationBegan)
def brumates_unprepared(look: Look) -> Iterator[Matter]:
    """An animal brumates that was too young when it began, or had no clear faecal test in the days before.

    Watch, until it wakes. A clear test since then ends the second.
    """
    one, house = look.animal, look.house
    began = one.brumating_since
    if began is None:
        return
    told: list[str] = []
    least = house.days("brumation.least_months")
    months = months_between(one.hatched, began.date()) if one.hatched is not None else None
    if months is not None and months < least:
        told.append(f"too young ({many(months, 'month')}, from {least})")
    within = house.days("brumation.faecal_test_days")
    tests = [
        entry
        for entry in one.own(Tested)
        if entry.what == "faecal test" and days_between(entry.at, began) <= within
    ]
    if not tests:
        told.append("no faecal test before")
    elif tests[-1].clear is None:
        told.append("no result of its faecal test")
    elif not tests[-1].clear:
        told.append("its faecal test was not clear")
    if not told:
        return
    last = one.last(BrumationBegan)
    behind: list[Entry] = [*tests[-1:], *((last,) if last is not None else ())]
    yield look.matter(
        brumates_unprepared,
        Level.WATCH,
        f"{look.name} brumates: {', '.join(told)}.",
        since=began,
        entries=tuple(sorted(behind, key=lambda entry: entry.key)),
        do=("Have its droppings tested. Ask your vet: wake it, or let it sleep on.",),
        worsens="parasites weaken it while it sleeps",
        acts=("tested", "note"),
    )
