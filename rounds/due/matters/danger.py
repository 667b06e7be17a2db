"""Signs for the vet, animals that look dull, and what a vet still waits for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

from rounds.due.dates import later
from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look, cites, needs
from rounds.due.matters.wording import (
    AGREE_STEP,
    CALL_STEP,
    NEVER_STEP,
    UNTIL_THEN_STEP,
    day,
    day_time,
    listed,
    vet_now_steps,
    vet_steps,
)
from rounds.logbook.entries import BrumationBegan, ConditionSeen, EggCheckDone, Entry, Referred, VetCalled, VetSeen
from rounds.logbook.times import days_between
from rounds.logbook.words import DANGER_SIGNS, URGENT_SIGNS
from rounds.standing.health import SignSeen

_WRITE: str = "Write down what the vet said."


@cites("eggbinding.danger_signs", "eggbinding.can_carry_from_months", "health.urgent_signs", "health.vet_signs")
@needs(ConditionSeen, EggCheckDone)
def danger_sign(look: Look) -> Iterator[Matter]:
    """A sign for the vet was seen.

    Vet now in any female who may be gravid: lethargy, tremor, weak hind limbs, straining, discharge, swelling or
    prolapse, whatever else holds and whatever any forecast says; when sex or age leave it open whether she may be,
    she counts as one. Vet now in any animal: tremor, prolapse. Vet: the others of these, and a mouth, nose,
    breathing, jaw, limbs, toes, tail or skin that is not right.

    It stands until a vet has seen the animal or was spoken to. A look that does not find the sign again does not
    end it: signs come and go. Eggs do not end it. It cannot be put off.
    """
    signs, since = look.animal.danger, look.animal.danger_since
    if not signs or since is None:
        return
    gravid = look.may_be_gravid and any(one.sign in DANGER_SIGNS for one in signs)
    now = gravid or any(one.sign in URGENT_SIGNS for one in signs)
    says = f"{look.name}: {listed(_sign(one) for one in signs)}."
    if gravid:
        says += " Gravid." if look.female.felt or look.female.laying else " She may be gravid."
        if look.she != "she":
            says = says.replace(" She may be gravid.", " It may be gravid.")
    if any(one.gone is not None for one in signs):
        says += " Signs come and go."
    referred = look.animal.with_the_vet
    if referred is not None:
        says += f" Referred {day(referred.at)}, not seen yet."
    entries = {entry.id: entry for one in signs for entry in (one.entry, one.last, one.gone) if entry is not None}
    if gravid:
        entries.update({entry.id: entry for entry in look.gravid_because or ()})
    steps = vet_now_steps(look.house) if now else vet_steps(look.house)
    yield look.matter(
        danger_sign,
        Level.VET_NOW if now else Level.VET,
        says,
        since=since,
        entries=tuple(entries.values()),
        do=(
            *(("Do not wait for the appointment.",) if referred is not None and now else ()),
            *steps,
            UNTIL_THEN_STEP,
            *((NEVER_STEP,) if gravid else ()),
            _WRITE,
        ),
        worsens="with every hour" if now else "another sign, or the same one tomorrow",
        danger=True,
        asks_again=max(one.entry.at for one in signs),
        acts=("vet called", "refer", "vet seen", *(("egg check",) if look.may_be_gravid else ()), "note"),
    )


def _sign(one: SignSeen) -> str:
    """`lethargy 24 Nov 18:55`, `tremor 23 Nov 07:10, not 24 Nov`."""
    gone = ""
    if one.gone is not None:
        same = one.gone.at.date() == one.last.at.date()
        gone = f", not {one.gone.at:%H:%M}" if same else f", not {day(one.gone.at)}"
    return f"{one.sign} {day_time(one.last.at)}{gone}"


@cites("eggbinding.danger_signs", "health.dull_again_days", "walk.turn_gap_hours")
@needs(ConditionSeen)
def looks_dull(look: Look) -> Iterator[Matter]:
    """An animal was seen to look dull.

    Today: warmth, weight, droppings. Vet when it was dull on two days within a week, and at once when she may
    be gravid by what was noted, because lethargy in her is a danger sign. As vet it stands until a vet has seen it
    or was spoken to, bright again or not. Looks in brumation do not count.
    """
    one = look.animal
    runs = [
        run
        for dull in one.dull_runs
        if (run := [entry for entry in dull if not one.brumated_at(entry.at, entry.known)])
        if not one.danger or run[-1].at > max(sign.last.at for sign in one.danger)
    ]
    raised: Sequence[ConditionSeen] | None = next((run for run in runs if _for_vet(look, run)), None)
    raised = raised or _again(look, runs)
    last = one.look
    if raised is None:
        if not runs or last is None or last.look != "dull" or one.danger or one.brumated_at(look.now):
            return
    elif one.danger:
        return  # the danger sign says more, at this level or above
    dull = raised or runs[-1]
    level = Level.VET if raised is not None else Level.TODAY
    gravid = raised is not None and look.may_be_gravid and look.female.gravid_because(dull[0].at) is not None
    again = f", again {day(dull[-1].at)}" if _on_two_days(look, dull[0], dull[-1]) else ""
    bright = f" {look.she.capitalize()} looked {last.look} {day(last.at)}." if last and last.look != "dull" else ""
    yield look.matter(
        looks_dull,
        level,
        f"{look.name}: dull {day_time(dull[0].at)}{again}.{' She may be gravid.' if gravid else ''}{bright}",
        since=dull[0].at,
        entries=(*dull, *((look.female.gravid_because(dull[0].at) or ()) if gravid else ())),
        do=(
            *(("Look at her now: lethargy when gravid is vet now.",) if gravid else ()),
            *((*vet_steps(look.house),) if level == Level.VET else ()),
            "Is the basking spot warm? Weigh, look for droppings, look again in the evening.",
        ),
        worsens="lethargy or any other danger sign: vet now"
        if gravid
        else "dull again tomorrow: vet"
        if level == Level.TODAY
        else "any danger sign",
        acts=(
            *(("vet called", "vet seen") if level == Level.VET else ()),
            *(("egg check",) if look.may_be_gravid else ()),
            "weigh",
            "climate",
            "refer",
        ),
    )


def _again(look: Look, runs: Sequence[Sequence[ConditionSeen]]) -> Sequence[ConditionSeen] | None:
    """Two dull looks on different days with brighter ones between them, near enough to speak of one thing."""
    dull = [entry for run in runs for entry in run]
    within = look.house.days("health.dull_again_days")
    for first, again in combinations(dull, 2):
        if days_between(first.at, again.at) <= within and _on_two_days(look, first, again):
            return (first, again)
    return None


def _on_two_days(look: Look, first: ConditionSeen, last: ConditionSeen) -> bool:
    """Whether it was dull on two days: a look of two minutes around midnight is one."""
    return first.at.date() != last.at.date() and look.turns((first, last)) == 2


def _for_vet(look: Look, run: Sequence[ConditionSeen]) -> bool:
    if _on_two_days(look, run[0], run[-1]):
        return True
    return look.may_be_gravid and look.female.gravid_because(run[-1].at) is not None


@cites()
@needs(Referred)
def with_the_vet(look: Look) -> Iterator[Matter]:
    """An animal was referred to a vet, and something is to be done about it.

    Today when no appointment is written down, on the day of the appointment, and after it until the visit is
    written down. While the appointment lies ahead it is no matter: "with the vet" stands on the animal's line, and
    whatever led to the referral keeps its own level.
    """
    referred = look.animal.with_the_vet
    if referred is None:
        return
    on, today = referred.appointment, look.now.date()
    if on is not None and on > today:
        return
    if on is None:
        says = f"{look.name}: referred {day(referred.at)}, no appointment written down."
    elif on == today:
        says = f"{look.name}: vet's appointment today{' (' + referred.to + ')' if referred.to else ''}."
    else:
        says = f"{look.name}: the appointment was {day(on)}. Was {look.she} seen?"
    yield look.matter(
        with_the_vet,
        Level.TODAY,
        " ".join(says.split()),
        since=referred.at,
        entries=(referred,),
        do=(
            "Take the referral sheet along. Ask by when, and what to feed until then.",
            "After the visit write down what the vet said.",
        ),
        worsens="any danger sign: do not wait for the appointment",
        acts=("vet seen", "vet called", "refer", "note"),
    )


@cites("eggbinding.call_again_days")
@needs(VetSeen, VetCalled)
def vet_waits(look: Look) -> Iterator[Matter]:
    """The day has come by which a vet wanted to see or hear of an animal again.

    Today, from that day until the vet was seen or phoned. After a call about a danger sign: vet, the day after the
    one the vet named, or 5 days after the call when none was named, if no vet has seen the animal since.
    """
    contact = look.animal.last_contact
    if contact is None:
        return
    days = look.house.days("eggbinding.call_again_days")
    signs = look.animal.danger_before(contact, days) if isinstance(contact, VetCalled) else ()
    named = contact.again if contact.again is not None and contact.again > contact.at.date() else None
    by = named or (look.in_days(contact.at, days) if signs else None)
    if by is None or by > look.now.date() or (named is None and look.now < later(contact.at, days)):
        return
    unseen = bool(signs) and (named is None or by < look.now.date())
    says = f"{look.name}: the vet wants to hear of {look.it} by {day(by)}."
    if unseen:
        phoned = f"vet phoned {day(contact.at)}"
        says = f"{look.name}: danger sign {day(signs[-1].at)}, {phoned}. Not seen by a vet since."
    yield look.matter(
        vet_waits,
        Level.VET if unseen else Level.TODAY,
        says,
        since=contact.at,
        entries=(*signs[-1:], contact),
        do=(
            *(vet_steps(look.house) if unseen else ()),
            "Write down what the vet said." if unseen else "Phone, or go, and write down what the vet said.",
            *(() if unseen else (AGREE_STEP,)),
        ),
        worsens="any danger sign: vet now" if unseen else "what the vet feared goes on unseen",
        acts=("vet called", "vet seen", "note"),
    )


@cites("health.treatment_lasts_days")
@needs(BrumationBegan)
def brumating_under_treatment(look: Look) -> Iterator[Matter]:
    """An animal under treatment, or under a vet's instructions that have no end, brumates.

    Today: it is not brumated unless the vet says so.
    """
    one = look.animal
    treated = one.under_the_vet(look.now, look.house.days("health.treatment_lasts_days"))
    if treated is None or one.brumating_since is None:
        return
    began = one.last(BrumationBegan)
    behind: list[Entry] = [treated, *((began,) if began else ())]
    yield look.matter(
        brumating_under_treatment,
        Level.TODAY,
        f"{look.name} brumates under treatment.",
        since=max(one.brumating_since, treated.at),
        entries=behind,
        do=(f"Wake or let sleep: {CALL_STEP}",),
        worsens="any danger sign: vet",
        acts=("vet called", "vet seen", "note"),
    )
