"""Clutches that hatch: the first is out, some stay behind, or none came by the end of the window."""

from __future__ import annotations

from collections.abc import Iterator

from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look, cites, needs
from rounds.due.matters.wording import day, many
from rounds.logbook.entries import EggsBoxed, EggsLaid, EggsSeen, Hatched


@cites("incubation.hatch_days")
@needs(Hatched, EggsSeen)
def eggs_left_behind(look: Look) -> Iterator[Matter]:
    """A clutch has begun to hatch and eggs of it are left.

    Watch while a clutch may take to hatch (up to 3 days from first to last, other dragons), then today.
    """
    from rounds.due.hatching import first_out, is_out  # late: no start has to wait for it

    clutch = look.clutch
    first, left = first_out(clutch), clutch.left_to_hatch
    if first is None or not left or first > look.now:
        return
    days = look.days_since(first)
    last_day = look.house.days("incubation.hatch_days")
    if days > look.house.days("breeding.longest_incubation_days"):
        return
    out = [one for one in (*clutch.page.of(Hatched), *clutch.page.of(EggsSeen)) if one.at >= first]
    late = days > last_day
    yield look.matter(
        eggs_left_behind,
        Level.TODAY if late else Level.WATCH,
        f"{clutch.called}: {many(left, 'egg')} left {many(days, 'day')} after the first."
        if late
        else f"{clutch.called}: {'hatching since' if is_out(clutch) else 'pipped'} {day(first.date())}, "
        f"{many(left, 'egg')} left.",
        since=first,
        entries=(*clutch.laid[:1], *out[-3:]),
        do=(
            "Take young out promptly: adults eat them.",
            "Candle what is left; warm, damp and quiet. Do not open an egg. Ask your vet."
            if late
            else "Look twice a day. Do not help an egg open.",
        ),
        worsens=f"today after {many(last_day, 'day')}" if not late else "spoiled eggs spoil the box",
        acts=("eggs", "note"),
    )


@cites("incubation.degree_days", "incubation.window_percent", "breeding.longest_incubation_days")
@needs(EggsLaid, EggsBoxed)
def hatching_late(look: Look) -> Iterator[Matter]:
    """The hatch window of a clutch has ended and no egg has pipped.

    Watch. The window rests on the temperatures read and on the published days; it never ends after the longest
    incubation of the house, from when on this is told as overdue.
    """
    from rounds.due.hatching import first_out, hatch_forecast  # late: no start has to wait for it

    clutch = look.clutch
    begun = clutch.begun_at
    if begun is None or clutch.boxed is None or not clutch.left_to_hatch or first_out(clutch) is not None:
        return
    if look.days_since(begun) > look.house.days("breeding.longest_incubation_days"):
        return
    found = hatch_forecast(look.standing, look.house, look.now, look.subject)
    if found is None or look.now.date() <= found.late:
        return
    yield look.matter(
        hatching_late,
        Level.WATCH,
        f"{clutch.called}: no egg pipped, window ended {day(found.late)}.",
        since=begun,  # the end of the window moves with each reading; a matter keeps its name
        entries=(clutch.laid[0], clutch.boxed),
        do=(
            "Candle and weigh the eggs; take out what is spoiled.",
            "Check the shelf with a second thermometer. Then wait; ask your vet.",
        ),
        worsens="spoiled eggs spoil the box",
        acts=("eggs", "note"),
    )
