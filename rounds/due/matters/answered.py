"""What brought an alarm down, for as long as it should be read."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Final

from rounds.due.dates import just_before
from rounds.due.matter import Level, Matter
from rounds.due.matters import adding_up, danger, digger, droppings, eggs, feeding, heavy_after, laying, weight
from rounds.due.matters.look import Look, Rule, cites
from rounds.due.matters.wording import day_time, listed, quoted
from rounds.due.round import known_at
from rounds.logbook.entries import Corrected, Entry, VetCalled, VetSeen
from rounds.logbook.words import NESTING_BEHAVIOURS, SIGNS
from rounds.standing.as_of import as_of
from rounds.standing.digging import dug_in

#: Every rule that can be for the vet.
ALARMS: Final[tuple[Rule, ...]] = (
    danger.danger_sign,
    danger.looks_dull,
    laying.digging_without_eggs,
    adding_up.signs_add_up,
    eggs.laying_stopped,
    heavy_after.heavy_after_laying,
    feeding.refused_food,
    droppings.no_droppings,
    droppings.droppings_not_right,
    weight.weight_loss,
    digger.unknown_digger,
)
#: Words of an entry taken back that may have spoken for the vet. A figure mistyped does not.
_SPEAKS: Final = (
    *SIGNS,
    *NESTING_BEHAVIOURS,
    "dull",
    "quiet",
    "refused",
    "heavy",
    "egg",
    "blood",
    "none found",
    "dug",
    "mat",
)
_ON_FEMALES: Final = frozenset(
    {adding_up.signs_add_up, laying.digging_without_eggs, heavy_after.heavy_after_laying}
)
_ON_TUBS: Final = frozenset({digger.unknown_digger})


@cites("walk.answered_days")
def alarm_answered(look: Look) -> Iterator[Matter]:
    """A matter at vet or vet now came down, and by what.

    Watch, for three days after it was written down: enough eggs, a vet's visit, a call with a vet, or an entry
    taken back. A vet matter also goes with a death or a leaving, and when another vet matter of hers says the same.
    Nothing else brings it down.
    """
    shown = timedelta(days=look.house.days("walk.answered_days"))
    answers = [entry for entry in _answers(look) if look.now - known_at(entry, look.now) <= shown]
    of_tub = look.subject.startswith("enclosure/")
    taken_back = [
        entry
        for entry in look.animal.page.of(Corrected)
        if entry.was
        and entry.about == look.subject
        and timedelta(0) <= look.now - entry.at <= shown
        # Only what may have spoken for the vet; of a tub, digging.
        and any(word in entry.was for word in (NESTING_BEHAVIOURS if of_tub else _SPEAKS))
    ]
    came_down: list[str] = []
    behind: list[Entry] = []
    for answer in reversed(answers):
        for matter in _before(look, answer.at):
            if matter.rule not in came_down and not _still(look, matter):
                came_down.append(matter.rule)
                behind.append(answer)
    if came_down:
        last = behind[0]
        how = _how(last)
        says = f"{look.name}: {listed(came_down)} answered {day_time(last.at)}: {how} ({last.by})."
    elif taken_back:
        last = taken_back[-1]
        behind = [last]
        says = f"{look.name}: taken back {day_time(last.at)}: {quoted(last.was, 60)} ({last.by})."
    else:
        return
    yield look.matter(
        alarm_answered,
        Level.WATCH,
        says,
        since=last.at,
        entries=tuple({entry.id: entry for entry in behind}.values()),
        do=("Read who answered it, and how. Not right? Write down what you see.",),
        worsens="seen again: it stands again",
        acts=("note", "vet called"),
    )


def _how(answer: Entry) -> str:
    if isinstance(answer, VetCalled):
        vet = answer.vet.partition(",")[0]
        return f"vet phoned ({vet})" if vet else "vet phoned"
    return answer.phrase().partition(",")[0]


def _answers(look: Look) -> list[Entry]:
    """What can have brought a matter down, oldest first."""
    found: list[Entry] = []
    for who in _asked(look):
        one = look.at(who)
        found += [*one.animal.own(VetSeen), *one.animal.own(VetCalled)]
        if who.startswith("animal/"):
            for eggs in one.female.clutches:
                found += [entry for entry in (one.female.believed_eggs(eggs), eggs.complete) if entry is not None]
    known = {entry.id: entry for entry in found if entry.at <= look.now}
    return sorted(known.values(), key=lambda entry: entry.key)


def _asked(look: Look) -> tuple[str, ...]:
    """Who an answer is about: the animal itself; of a tub, each of those who may have dug in it."""
    if not look.subject.startswith("enclosure/"):
        return (look.subject,)
    dug = dug_in(look.standing, look.subject, look.house.breeding_days)
    return tuple(dict.fromkeys(who for one in dug for who in one.may_have))


def _before(look: Look, moment: datetime) -> list[Matter]:
    """What was for the vet just before a moment."""
    then = just_before(moment)
    before = Look(as_of(look.standing, then), look.house, then, look.subject)
    return [matter for rule in _rules(before) for matter in rule(before) if matter.level >= Level.VET]


def _still(look: Look, was: Matter) -> bool:
    """Whether a matter of this rule is for the vet now."""
    return any(
        matter.level >= Level.VET for rule in _rules(look) for matter in rule(look) if matter.rule == was.rule
    )


def _rules(look: Look) -> tuple[Rule, ...]:
    if look.subject.startswith("enclosure/"):
        return tuple(_ON_TUBS)
    gravid = look.subject.startswith("animal/") and look.may_be_gravid
    left = _ON_TUBS if gravid else _ON_TUBS | _ON_FEMALES | {eggs.laying_stopped}
    if look.subject.startswith("group/"):
        left |= {weight.weight_loss}
    return tuple(rule for rule in ALARMS if rule not in left)
