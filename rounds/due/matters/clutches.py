"""Clutches: eggs to be boxed, eggs that do not hatch, and counts that do not add up."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look, cites, needs
from rounds.due.matters.wording import day_time, many
from rounds.logbook.boxing import read_boxings
from rounds.logbook.census import census_of
from rounds.logbook.entries import EggsBoxed, EggsLaid, EggsLost, Hatched
from rounds.logbook.times import fixed
from rounds.standing.animal import animal


@cites("eggbinding.eggs_boxed_hours", "breeding.laid_lasts", "breeding.longest_incubation_days")
@needs(EggsLaid)
def eggs_not_boxed(look: Look) -> Iterator[Matter]:
    """A clutch is complete and its eggs, or some of them, are not in an egg box.

    Today from the moment it is due: eggs dry out, and are not turned after the first 24–48 h. A clutch of
    slugs only needs no box. Where some are boxed, the others are asked about while she counts as freshly laid. Of
    one who died or left while she laid no more come: those there are wait for a box too.
    """
    clutch = look.clutch
    done = clutch.complete
    if done is None and clutch.dam is not None and not animal(look.standing, clutch.dam).here:
        done = clutch.last_egg
    # As many lost as were sound: none is kept, whichever of them are slugs.
    kept = clutch.unboxed if clutch.count - clutch.slugs > clutch.lost else 0
    if done is None or clutch.hatched or not kept:
        return
    due = fixed(done.at + timedelta(hours=look.house.number("eggbinding.eggs_boxed_hours")), look.house.zone)
    lasts = "breeding.laid_lasts" if clutch.boxed else "breeding.longest_incubation_days"
    if look.days_since(done.at) > look.house.days(lasts):
        return
    yield look.matter(
        eggs_not_boxed,
        Level.TODAY if look.now >= due else Level.WATCH,
        f"Box {many(kept, 'egg')} of {look.standing.name(clutch.dam)}, laid {day_time(done.at)}.",
        since=done.at,
        entries=clutch.laid[-2:],
        do=(
            "Mark the up-side, box them in damp medium, and write down place, medium and box weight.",
            # What is lost once some are boxed is taken to be of those in the box.
            "Not kept? Count them among the slugs when you mend the laying."
            if clutch.boxed
            else "Not kept? Write them down as lost.",
        ),
        worsens="eggs dry out" if look.now >= due else f"today from {day_time(due)}",
        acts=("note",),
    )


@cites("breeding.longest_incubation_days")
@needs(EggsBoxed)
def hatching_overdue(look: Look) -> Iterator[Matter]:
    """Eggs have been in the box longer than any that hatched.

    Watch: candle them, and write down what is spoiled.
    """
    clutch = look.clutch
    boxed, begun = clutch.boxed, clutch.begun_at
    if boxed is None or begun is None or clutch.left_to_hatch == 0:
        return
    over = look.days_since(begun) - look.house.days("breeding.longest_incubation_days")
    if over <= 0:
        return
    yield look.matter(
        hatching_overdue,
        Level.WATCH,
        f"Candle {many(clutch.left_to_hatch, 'egg')} of {look.standing.name(clutch.dam)}: "
        f"{look.days_since(begun)} days, longer than any that hatched.",
        since=look.midnight(look.in_days(begun, look.house.days("breeding.longest_incubation_days") + 1)),
        entries=(clutch.laid[0], boxed),
        do=("Candle them; write down those that are spoiled as lost, and what hatched as hatched.",),
        worsens="spoiled eggs spoil the box",
        acts=("eggs", "note"),
    )


@cites()
@needs(EggsBoxed, EggsLost, Hatched)
def clutch_does_not_add_up(look: Look) -> Iterator[Matter]:
    """More eggs of a clutch are gone and in boxes than were laid.

    Today: two desks that did not know of each other may have written the same eggs, so what stands of them and of
    the young is not to be trusted. It ends when one of the entries is taken back or a count is corrected.
    """
    clutch = look.clutch
    if not clutch.boxings.over:
        return
    found: list[EggsBoxed | EggsLost | Hatched] = [*clutch.page.of(EggsBoxed), *clutch.page.of(EggsLost)]
    found += [entry for entry in clutch.page.of(Hatched) if entry.about == look.subject]
    events = sorted(found, key=lambda entry: entry.key)
    until = next(end for end in range(1, len(events) + 1) if read_boxings(clutch.laid, events[:end]).over)
    yield look.matter(
        clutch_does_not_add_up,
        Level.TODAY,
        f"{clutch.called}: {census_of(clutch.boxings).words}.",
        since=max(entry.known for entry in (*clutch.laid, *events[:until])),
        entries=(clutch.laid[-1], *events[max(0, until - 2) : until]),
        do=(
            "Count the eggs and the young.",
            "On its page, take back what was written twice, or correct a count.",
        ),
        worsens="eggs and young are counted that are not there",
        acts=("note",),
    )
