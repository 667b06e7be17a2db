"""An animal that does what its sex does not."""

from __future__ import annotations

from collections.abc import Iterator

from rounds.due.dates import span
from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look, cites, needs
from rounds.logbook.entries import BehaviourSeen, ConditionSeen, EggCheckDone
from rounds.standing.digging import noted_of


@cites("breeding.nesting_gap")
@needs(BehaviourSeen, EggCheckDone, ConditionSeen)
def male_digs_nest(look: Look) -> Iterator[Matter]:
    """A male was seen digging a nest: he may be a female.

    Watch, for two weeks after it was last seen, or until a vet saw him or was spoken to. Nothing of eggs is asked
    of a male, so the sex is looked at again first. Once eggs are seen of him, the matters of a female stand.
    """
    if look.animal.sex != "M" or look.may_be_gravid:
        return
    dug = sorted(noted_of(look.animal), key=lambda entry: entry.key)
    if not dug or look.days_since(dug[-1].at) > look.house.days("breeding.nesting_gap"):
        return
    if not look.animal.after_contact(dug[-1]):
        return
    run = [entry for entry in dug if look.days_since(entry.at) <= 2 * look.house.days("breeding.nesting_gap")]
    yield look.matter(
        male_digs_nest,
        Level.WATCH,
        f"{look.name}: is he a male? Dug a nest {span(run[0].at, run[-1].at)}.",
        since=run[0].at,
        entries=run,
        do=(
            "Look at the sex again. A female? Settle it: then her days of digging count.",
            "Not sure? Feel for eggs if practised, and ask your vet.",
        ),
        worsens="settled as a female: today, then vet, by the days of digging",
        acts=("note", "felt", "vet called"),
    )
