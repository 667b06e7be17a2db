"""Brumation begun before the animal was fit for it."""

from __future__ import annotations

from collections.abc import Iterator

from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look, cites, needs
from rounds.due.matters.wording import day, many
from rounds.logbook.entries import BrumationBegan, Entry, Tested
from rounds.logbook.times import days_between, months_between


@cites("brumation.least_months", "brumation.faecal_test_days", "breeding.window_opens", "breeding.window_closes")
@needs(BrumationBegan)
def brumates_unprepared(look: Look) -> Iterator[Matter]:
    """An animal brumates that was too young when it began, had no clear faecal test in the days before, or may lay.

    Watch, until it wakes. A clear test since then ends the second. Today for a female with eggs in her, as far as
    was seen: laying, digging, eggs felt, a heavy body. Mated, and no eggs since, is watch.
    """
    one, house = look.animal, look.house
    began = one.brumating_since
    if began is None:
        return
    gravid = _gravid(look)
    told: list[str] = [gravid[0]] if gravid is not None else []
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
    not_ready = len(told) > (gravid is not None)
    if not told:
        return
    last = one.last(BrumationBegan)
    behind: list[Entry] = [*tests[-1:], *((last,) if last is not None else ())]
    behind += gravid[1] if gravid is not None else ()
    seen = gravid is not None and gravid[2]
    yield look.matter(
        brumates_unprepared,
        Level.TODAY if seen else Level.WATCH,
        f"{look.name} brumates: {', '.join(told)}.",
        since=began,
        entries=tuple(sorted(behind, key=lambda entry: entry.key)),
        do=(
            *(
                ("Ask your vet today: wake her? Awake she needs warmth and a lay box.",)
                if gravid is not None
                else ()
            ),
            *(("Have its droppings tested. Ask your vet: wake it, or let it sleep on.",) if not_ready else ()),
        ),
        worsens="with other signs of eggs: vet; any danger sign: vet now"
        if gravid is not None
        else "parasites weaken it while it sleeps",
        acts=("tested", "note"),
    )


def _gravid(look: Look) -> tuple[str, tuple[Entry, ...], bool] | None:
    """That she may have eggs in her, in words, from which entries, and whether it was seen of her; else None."""
    if not look.subject.startswith("animal/") or not look.may_be_gravid:
        return None
    her = look.female
    if her.laying is not None:
        return "laying", her.laying.laid, True
    if look.digging is not None:
        return f"has dug since {day(look.digging.since)}", look.digging.entries, True
    if her.felt is not None:
        return f"gravid, eggs felt {day(her.felt.at)}", (her.felt,), True
    because = look.gravid_because
    if her.heavy is not None and because is not None:
        return f"heavy {day(her.heavy.at)}, may be gravid", (her.heavy,), True
    window = look.window
    if window is None or because is None or window.why != "mated":
        return None
    over = look.now.date() > window.closes
    until = f"window {'ended' if over else 'to'} {day(window.closes)}"
    return f"mated, may be gravid, {until}", window.entries, False
