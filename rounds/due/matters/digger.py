"""Digging in a shared tub by an animal that is not known."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look, cites, needs, run_of
from rounds.due.matters.wording import day
from rounds.logbook.entries import Arrived, BehaviourSeen, EggCheckDone, Entry, Moved
from rounds.logbook.words import NESTING_BEHAVIOURS
from rounds.standing.animal import animal


@cites("breeding.nesting_gap", "breeding.carries_days")
@needs(BehaviourSeen)
def unknown_digger(look: Look) -> Iterator[Matter]:
    """Digging was seen in a tub and it is not known whose it was.

    Today: find out who. Females that live there are named likeliest first: eggs felt or heavy, in her
    window, mated (longest ago first), can be carrying otherwise. It is answered by digging noted of one of
    them on that day or later, by a clutch one of them laid since, or by a correction.
    """
    tub = look.enclosure
    seen = [entry for entry in tub.behaviour_of_unknown if entry.behaviour in NESTING_BEHAVIOURS]
    open_ones = run_of(
        [entry for entry in seen if not _answered(look, entry)], look.house.days("breeding.nesting_gap")
    )
    if not open_ones or look.days_since(open_ones[-1].at) > look.house.days("breeding.nesting_gap"):
        return
    who = _likeliest(look, open_ones[-1].at)
    if not who:
        if not _lived_at(look, open_ones[-1].at):
            return
        says = f"Somebody digs in {tub.name} since {day(open_ones[0].at)}, where no female is known to live."
    else:
        first = " It can only have been her." if len(who) == 1 else ""
        says = (
            f"Somebody digs in {tub.name} since {day(open_ones[0].at)}: find out who, "
            f"likeliest first: {', '.join(_why_likely(look.at(one)) for one in who)}.{first}"
        )
    yield look.matter(
        unknown_digger,
        Level.TODAY if who else Level.WATCH,
        says,
        since=open_ones[0].at,
        entries=open_ones,
        do=(
            "Watch the tub at its busiest hour, or look at claws and belly for soil.",
            "Write the digging down for her by name; that answers this."
            if who
            else "Settle the sex of those who live here, and write the digging down by name.",
            *(() if tub.lay_box else (f"Not sure today? A lay box in {tub.name} serves whoever needs it.",)),
        ),
        worsens=f"her days of digging are counted only once it is known who she is; "
        f"digging is for the vet after day {look.house.days('eggbinding.dig_vet_day')}",
        acts=("who", "lay box"),
    )


def _lived_at(look: Look, moment: datetime) -> list[str]:
    """Animals that lived in this enclosure at a moment, by id."""
    page = look.enclosure.page
    named = {entry.about for entry in (*page.of(Arrived), *page.of(Moved))} | set(look.enclosure.living)
    return sorted(
        who
        for who in named
        if who.startswith("animal/")
        and any(stay.enclosure == look.subject and stay.covers(moment) for stay in animal(look.standing, who).stays)
    )


def _answered(look: Look, seen: BehaviourSeen) -> bool:
    """Whether one who lived here then was seen digging on that day or later, or has laid since."""
    for who in _lived_at(look, seen.at):
        one = animal(look.standing, who)
        named: list[Entry] = [entry for entry in one.behaviour if entry.behaviour in NESTING_BEHAVIOURS]
        named += [entry for entry in one.own(EggCheckDone) if "digging" in entry.present]
        if any(entry.at.date() >= seen.at.date() for entry in named):
            return True
        if any(entry.at >= seen.at for entry in one.laid):
            return True
    return False


def _likeliest(look: Look, moment: datetime) -> list[str]:
    """Who of those that lived here can have dug, likeliest first."""

    def rank(who: str) -> tuple[object, ...]:
        one = look.at(who)
        her, window = one.female, one.window
        today = look.now.date()
        in_window = window is not None and window.opens <= today <= window.closes
        return (
            one.digging is None,
            her.felt is None and her.heavy is None,
            not in_window,
            one.carrying_because is None,
            her.matings[0].at.timestamp() if her.matings else float("inf"),
            one.animal.sex != "F",
            who,
        )

    return sorted((who for who in _lived_at(look, moment) if look.at(who).may_carry), key=rank)


def _why_likely(look: Look) -> str:
    her, window = look.female, look.window
    why = []
    if look.digging is not None:
        why.append(f"dug on {day(look.digging.last)}")
    if her.felt is not None:
        why.append("eggs felt")
    elif her.heavy is not None:
        why.append("heavy")
    if window is not None and window.opens <= look.now.date() <= window.closes:
        why.append("in her window")
    if her.matings:
        why.append(f"mated {day(her.matings[0].at)}")
    if not why:
        why.append("can be carrying" if look.carrying_because is not None else "no mating known")
    return f"{look.name} ({', '.join(why)})"
