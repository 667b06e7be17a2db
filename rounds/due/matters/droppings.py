"""Droppings that are missing or wrong."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime
from itertools import takewhile

import msgspec

from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look, cites, needs
from rounds.due.matters.wording import CALL_STEP, day, many, times, vet_steps
from rounds.logbook.entries import Ate, DroppingsSeen, Entry, Fed
from rounds.logbook.times import days_between


@cites("health.no_droppings_young_days", "health.no_droppings_adult_days", "health.no_droppings_vet_times")
def no_droppings(look: Look) -> Iterator[Matter]:
    """An animal eats, and no droppings were seen for days.

    Watch; today after twice as long, with droppings looked for and not found; vet after three times as long, with
    droppings looked for and not found, until a vet has seen it or was spoken to. Counted from the last droppings
    noted of it or of its tub, or from the first note that none were found; where droppings are never noted nothing
    can be said. Not in brumation.
    """
    one = look.animal
    if not (one.page.last(DroppingsSeen) or look.place):
        return
    seen = one.droppings
    if not seen:
        return
    key = "health.no_droppings_young_days" if look.is_young else "health.no_droppings_adult_days"
    limit = look.house.days(key)
    waits = _waits(seen)
    raised = next((wait for wait in waits if wait.missing and _wait_for_vet(look, wait, limit)), None)
    wait = raised or waits[-1]
    start, missing = wait.start, wait.missing
    end = wait.end or look.now
    days = days_between(start.at, end)
    if raised is None:
        if wait.end is not None or one.brumating_since is not None:
            return
        if days <= limit or (not missing and days > 4 * limit):
            return  # so long without a note: droppings are not noted for this animal
        if not _eaten(look, start, end):
            return
    level = Level.VET if raised is not None else Level.TODAY if missing and days > 2 * limit else Level.WATCH
    found = f" Found again {day(wait.end)}." if wait.end is not None else ""
    yield look.matter(
        no_droppings,
        level,
        f"{look.name}: eats, no droppings for {many(days, 'day')}.{found}",
        since=start.at,
        entries=tuple({entry.id: entry for entry in (start, *missing, *_eaten(look, start, end)[-1:])}.values()),
        do=(
            *(vet_steps(look.house) if level == Level.VET else ()),
            "Look for droppings. Found some? Write them down.",
            "Is the basking spot warm? Water offered?",
            *(() if level == Level.VET else (f"Straining, swollen or dull: {CALL_STEP}",)),
        ),
        worsens="any danger sign"
        if level == Level.VET
        else f"looked for and not found after {2 * limit} days: today, after {_vet_days(look, limit)}: vet",
        acts=("vet called", "refer", "vet seen", "droppings")
        if level == Level.VET
        else ("droppings", "climate", "refer"),
        house=(key, "health.no_droppings_vet_times"),
    )


class _Wait(msgspec.Struct, frozen=True):
    """A time without droppings: since which entry, notes that none were found, and when some were again."""

    start: Entry
    missing: tuple[DroppingsSeen, ...]
    end: datetime | None


def _waits(seen: Sequence[DroppingsSeen]) -> list[_Wait]:
    """Times between droppings noted, oldest first, the last one being open."""
    seen = sorted(seen, key=lambda entry: (entry.at if entry.look == "none found" else entry.known, entry.id))
    waits: list[_Wait] = []
    start: Entry = seen[0]
    missing: list[DroppingsSeen] = []
    for entry in seen:
        if entry.look == "none found":
            missing.append(entry)
            continue
        if entry is not start:
            waits.append(_Wait(start, tuple(missing), entry.known))
        start, missing = entry, []
    return [*waits, _Wait(start, tuple(missing), None)]


def _vet_days(look: Look, limit: int) -> int:
    return limit * look.house.days("health.no_droppings_vet_times")


def _wait_for_vet(look: Look, wait: _Wait, limit: int) -> bool:
    """Whether a wait came to the vet's, and no vet has heard of the animal since."""
    days = _vet_days(look, limit)
    unheard = [entry for entry in wait.missing if look.animal.after_contact(entry)]
    if not unheard or any(look.animal.brumated_at(entry.at, entry.known) for entry in unheard):
        return False
    start, contact = wait.start.at, look.animal.last_contact
    if contact is not None:
        start = max(start, contact.at)
    end = wait.end or look.now
    noted = days_between(start, unheard[-1].at)
    return days_between(start, end) > days and noted > limit and bool(_eaten(look, wait.start, end))


def _eaten(look: Look, start: Entry, end: datetime) -> list[Entry]:
    """Food taken in that time, as noted; where nothing was noted of it, food given."""
    one = look.animal
    noted = [entry for entry in one.own(Ate) if start.at < entry.at <= end]
    taken: list[Entry] = [entry for entry in noted if entry.how != "refused"]
    if taken:
        return taken
    return [entry for entry in one.counting(Fed) if start.at < entry.at <= end]


@cites("walk.turn_gap_hours")
@needs(DroppingsSeen)
def droppings_not_right(look: Look) -> Iterator[Matter]:
    """Droppings had blood or mucus in them, or were runny or undigested twice in a row.

    Blood or mucus: vet, with a fresh sample, until a vet has seen the animal or was spoken to. Otherwise watch,
    until they are normal again. No number is behind it: common practice, no source.
    """
    one = look.animal
    seen = [entry for entry in one.own(DroppingsSeen) if entry.look != "none found" and one.after_contact(entry)]
    blood = [entry for entry in seen if entry.look == "blood or mucus"]
    run = list(takewhile(lambda entry: entry.look != "normal", reversed(seen)))[::-1]
    if not blood and look.turns(run) < 2:
        return
    normal = f" Normal {day(seen[-1].at)}." if blood and seen[-1].look == "normal" else ""
    shown = blood or run
    words = "blood or mucus in the droppings" if blood else f"droppings {run[-1].look}"
    bloody = look.turns(blood)
    when = f" {day(shown[0].at)}" if bloody == 1 else f" since {day(shown[0].at)}"
    if bloody > 1:
        when = f", {times(bloody)}{when}"
    yield look.matter(
        droppings_not_right,
        Level.VET if blood else Level.WATCH,
        f"{look.name}: {words}{when}.{normal}",
        since=shown[0].at,
        entries=tuple(shown),
        do=(
            "Keep a fresh sample cool and clean, for the vet.",
            *(vet_steps(look.house) if blood else (f"Seen again, or losing weight: {CALL_STEP}",)),
            "Wash hands; clean the enclosure before the next one.",
        ),
        worsens="dull or losing weight" if blood else "blood or mucus: vet",
        acts=("vet called", "refer", "vet seen", "droppings") if blood else ("droppings", "weigh", "refer"),
    )
