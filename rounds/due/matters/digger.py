"""Digging in a shared tub by an animal that is not known."""

from __future__ import annotations

from collections.abc import Iterator

from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look, cites, needs
from rounds.due.matters.wording import day, span, vet_steps
from rounds.logbook.entries import BehaviourSeen
from rounds.standing.animal import animal
from rounds.standing.breeding import Digging
from rounds.standing.digging import TubDigging, dug_in, lived_at


@cites("breeding.nesting_gap", "eggbinding.dig_vet_day", "breeding.carries_days", "walk.turn_gap_hours")
@needs(BehaviourSeen)
def unknown_digger(look: Look) -> Iterator[Matter]:
    """Digging was seen in a tub and it is not known whose it was.

    Today: find out who. Vet after day 7: one of them is to be seen, whoever she is. Those that live there are named
    likeliest first: dug before, eggs felt or heavy, in her window, mated (longest ago first), can be gravid
    otherwise. Where only one can have dug, it was her, and the days are hers. It is answered by digging noted of
    one of them on that day or later (her days then run from the first), by a clutch one of them laid since, by a
    vet who has seen or heard of each of them, or by a correction.
    """
    days = look.house.breeding_days
    waiting = [
        dug
        for dug in dug_in(look.standing, look.subject, days)
        if dug.whose is None and not _heard_of_all(look, dug) and not _all_gone(look, dug)
    ]
    run: list[TubDigging] = []
    for dug in waiting:
        if run and _is_over(look, run, dug):
            run.clear()
        run.append(dug)
    if not run:
        return
    first, last = run[0].entry.at, run[-1].entry.at
    day_of_it = look.days_since(first) + 1
    for_vet = day_of_it > days.dig_vet_day and any(
        look.at(who).female.digs_for_vet(Digging(tuple(dug.entry for dug in run)), look.now, look.now)
        for who in dict.fromkeys(who for dug in run for who in dug.may_have)
    )
    if not for_vet and look.days_since(last) > days.nesting_gap:
        return
    who = _likeliest(look, run[-1])
    dug_words = f"has dug since {day(first)}" if look.days_since(last) <= 1 else f"dug {span(first, last)}"
    if not who:
        if not lived_at(look.standing, look.subject, last):
            return
        says = f"{look.name}: one {dug_words}, but no female is known to live there."
    else:
        likely = ", then ".join(look.at(one).name for one in who)
        says = f"{look.name}: one of them {dug_words}. Which? Likely {likely}."
    yield look.matter(
        unknown_digger,
        Level.VET if for_vet else Level.TODAY if who else Level.WATCH,
        says,
        since=first,
        entries=tuple(dug.entry for dug in run),
        do=(
            *(vet_steps(look.house) if for_vet else ()),
            *((f"Likeliest first: {'; '.join(_why_likely(look.at(one)) for one in who)}.",) if who else ()),
            "Watch the tub at its busiest hour; look at claws and bellies for soil.",
            "Write the digging down for her by name: her days then count from the first."
            if who
            else "Settle the sex of those who live here.",
            *(() if look.enclosure.lay_box else (f"A lay box in {look.name} serves whoever needs it.",)),
        ),
        worsens="any danger sign: vet now"
        if for_vet
        else f"vet from {day(look.in_days(first, days.dig_vet_day))} (after day {days.dig_vet_day})"
        if who
        else "eggs laid unseen, or not at all",
        acts=("who", "lay box", "refer", "vet seen") if for_vet else ("who", "lay box"),
    )


def _is_over(look: Look, run: list[TubDigging], dug: TubDigging) -> bool:
    """Whether a pause longer than the gap lies between, before the digging was for the vet."""
    days = look.house.breeding_days
    pause = (dug.entry.at.date() - run[-1].entry.at.date()).days
    reached = (run[-1].entry.at.date() - run[0].entry.at.date()).days + days.nesting_gap + 1
    return pause > days.nesting_gap and reached <= days.dig_vet_day


def _heard_of_all(look: Look, dug: TubDigging) -> bool:
    """Whether a vet has seen, or was spoken to about, each of those who may have dug."""
    here = [one for who in dug.may_have if (one := animal(look.standing, who)).here]
    return bool(here) and not any(one.after_contact(dug.entry) for one in here)


def _all_gone(look: Look, dug: TubDigging) -> bool:
    """Whether none of those who may have dug is in the colony any more."""
    return bool(dug.may_have) and not any(animal(look.standing, who).here for who in dug.may_have)


def _likeliest(look: Look, dug: TubDigging) -> list[str]:
    """Who of those that lived here can have dug, likeliest first."""

    def rank(who: str) -> tuple[object, ...]:
        one = look.at(who)
        her = one.female
        return (
            one.digging is None,
            her.felt is None and her.heavy is None,
            not _in_window(one),
            one.gravid_because is None,
            her.matings[0].at.timestamp() if her.matings else float("inf"),
            one.animal.sex != "F",
            who,
        )

    return sorted((who for who in dug.may_have if look.at(who).animal.here), key=rank)


def _in_window(look: Look) -> bool:
    window, today = look.window, look.now.date()
    return window is not None and window.opens <= today <= window.closes


def _why_likely(look: Look) -> str:
    her = look.female
    why = []
    if look.digging is not None:
        why.append(f"dug {day(look.digging.last)}")
    if her.felt is not None:
        why.append("eggs felt")
    elif her.heavy is not None:
        why.append("heavy")
    if _in_window(look):
        why.append("in her window")
    if her.matings:
        why.append(f"mated {day(her.matings[0].at)}")
    if not why:
        why.append("can be gravid" if look.gravid_because is not None else "no mating known")
    return f"{look.name} ({', '.join(why)})"
