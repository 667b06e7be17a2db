"""Danger signs, and animals that are with the vet."""

from __future__ import annotations

from collections.abc import Iterator

from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look, cites, needs
from rounds.due.matters.wording import (
    CALL_STEP,
    NEVER_STEP,
    UNTIL_THEN_STEP,
    VET_NOW_STEP,
    VET_STEP,
    day,
    day_time,
    listed,
    quoted,
)
from rounds.logbook.entries import BrumationBegan, ConditionSeen, EggCheckDone, Referred, VetSeen


@cites("eggbinding.danger_signs", "eggbinding.can_carry_from_months")
@needs(ConditionSeen, EggCheckDone)
def danger_sign(look: Look) -> Iterator[Matter]:
    """A danger sign was seen: lethargy, tremor, weak hind limbs, straining, discharge, swelling or prolapse.

    Vet now in any female who can be carrying, whatever else holds and whatever any forecast says; when
    sex or age leave it open whether she can, she counts as one. Vet in any other animal. It stands until an
    egg check finds the sign gone or a vet has seen the animal (lethargy in one that cannot carry also until
    it is seen to be bright), and cannot be put off.
    """
    signs, since = look.animal.danger, look.animal.danger_since
    carrying = look.may_carry
    bright = look.animal.look
    if not carrying and bright is not None and bright.look == "bright":
        signs = tuple(one for one in signs if one.sign != "lethargy" or one.entry.at > bright.at)
    if not signs or since is None:
        return
    referred = look.animal.with_the_vet
    words = listed(f"{one.sign} (seen {day_time(one.entry.at)})" for one in signs)
    with_vet = f"; referred to a vet on {day_time(referred.at)}, not seen yet" if referred else ""
    kind = "" if not carrying else ", and she may be carrying" if look.she == "she" else ", and may be carrying"
    entries = {one.entry.id: one.entry for one in signs}
    if carrying:
        entries.update({entry.id: entry for entry in look.carrying_because or ()})
    do = (VET_NOW_STEP if carrying else VET_STEP, UNTIL_THEN_STEP, *((NEVER_STEP,) if carrying else ()))
    if referred and carrying:
        do = ("Do not wait for the appointment.", *do)
    yield look.matter(
        danger_sign,
        Level.VET_NOW if carrying else Level.VET,
        f"{look.name}: {words}{kind}{with_vet}.",
        since=since,
        entries=tuple(entries.values()),
        do=(
            *do,
            "When a vet has seen it, write down what the vet said."
            if not carrying
            else "When a vet has seen her, write down what the vet said.",
        ),
        worsens="with every hour" if carrying else "another sign, or the same one tomorrow",
        danger=True,
        acts=("refer", "vet seen", "egg check", "note"),
    )


@cites("eggbinding.danger_signs")
@needs(ConditionSeen)
def looks_dull(look: Look) -> Iterator[Matter]:
    """An animal was last seen to look dull.

    Today: warmth, weight, droppings. Vet when it was dull on two days in a row of looks, and at once for
    a carrying female, because lethargy in her is a danger sign.
    """
    one = look.animal
    seen = one.look
    if seen is None or seen.look != "dull" or one.brumating_since is not None:
        return
    vet = one.last_vet
    if (vet is not None and vet.at >= seen.at) or one.danger:
        return
    run = one.dull_looks
    carrying = look.may_carry and bool(
        look.carrying_because or look.female.felt or look.female.heavy or look.digging
    )
    twice = run[0].at.date() != run[-1].at.date()
    level = Level.VET if carrying or twice else Level.TODAY
    days = f", dull since {day(run[0].at)}" if twice else ""
    tail = ", and can be carrying" if carrying else ""
    steps = (
        "Check the warmth of the basking spot, weigh, look for droppings, look again in the evening.",
        "Write down what you see: bright, quiet or dull, and any danger sign.",
    )
    yield look.matter(
        looks_dull,
        level,
        f"{look.name} looked dull {day_time(seen.at)}{days}{tail}.",
        since=run[0].at,
        entries=(*run, *((look.carrying_because or ()) if carrying else ())),
        do=(
            *(("Do an egg check now: lethargy in a carrying female is vet now.",) if carrying else ()),
            *((VET_STEP,) if level == Level.VET else ()),
            *steps,
        ),
        worsens="lethargy or any other danger sign: vet now"
        if carrying
        else "dull again tomorrow: vet"
        if level == Level.TODAY
        else "any danger sign",
        acts=("egg check", "weigh", "climate", "refer") if look.may_carry else ("weigh", "climate", "refer"),
    )


@cites()
@needs(Referred)
def with_the_vet(look: Look) -> Iterator[Matter]:
    """An animal was referred to a vet and is not seen yet.

    It stays on the list as vet until the visit is written down; with the day of the appointment, if there is
    one, and a word when that is past.
    """
    referred = look.animal.with_the_vet
    if referred is None:
        return
    to = f" ({referred.to})" if referred.to else ""
    why = f" for {quoted(referred.why)}" if referred.why else ""
    on = referred.appointment
    if on is None:
        when = f"since {day_time(referred.at)}, no appointment is written down"
    elif on < look.now.date():
        when = f"the appointment of {day(on)} is past and no visit is written down"
    else:
        when = f"the appointment is {'today' if on == look.now.date() else 'on ' + day(on)}"
    yield look.matter(
        with_the_vet,
        Level.VET,
        f"{look.name} is with the vet{to}{why}: {when}.",
        since=referred.at,
        entries=(referred,),
        do=(
            "Take the referral sheet along; ask by when, what to feed and how to keep "
            f"{look.it} until then, and agree it with "
            "your vet; local codes and licensed practice come first.",
            "After the visit write down what was found and what the vet said.",
        ),
        worsens="any danger sign: do not wait for the appointment",
        acts=("vet seen", "note"),
    )


@cites("health.vet_said_days")
@needs(VetSeen)
def vet_said(look: Look) -> Iterator[Matter]:
    """What the vet said is shown while it may still have to be followed.

    Watch: for some days after the visit, and as long as the animal is under treatment.
    """
    seen = look.animal.last_vet
    if seen is None:
        return
    treated = look.animal.under_treatment(look.now)
    shown = look.days_since(seen.at) <= look.house.days("health.vet_said_days")
    if treated is None and (not shown or look.animal.with_the_vet is not None):
        return
    words = [quoted(text) for text in (seen.instructions, seen.treatment) if text] or [
        quoted(seen.outcome) if seen.outcome else "no instructions are written down"
    ]
    until = (
        f", under treatment until {day(seen.under_treatment_until)}"
        if treated and seen.under_treatment_until
        else ""
    )
    given = look.animal.last_treatment
    yield look.matter(
        vet_said,
        Level.WATCH,
        f"{look.name} was seen by a vet on {day(seen.at)}{until}: {'; '.join(words)}.",
        since=seen.at,
        entries=(seen, *((given,) if given is not None and given.at >= seen.at else ())),
        do=("Do as the vet said; a question goes back to the vet.",)
        + (("Not paired, sold or brumated while under treatment.",) if treated else ()),
        worsens="any danger sign: back to the vet at once",
        acts=("treatment", "vet seen", "note") if treated else ("vet seen", "note"),
    )


@cites()
@needs(VetSeen)
def brumating_under_treatment(look: Look) -> Iterator[Matter]:
    """An animal under treatment brumates.

    Today: an animal under treatment is not brumated unless the vet says so.
    """
    one = look.animal
    treated = one.under_treatment(look.now)
    if treated is None or one.brumating_since is None:
        return
    began = one.last(BrumationBegan)
    yield look.matter(
        brumating_under_treatment,
        Level.TODAY,
        f"{look.name} brumates and is under treatment.",
        since=max(one.brumating_since, treated.at),
        entries=(treated, *((began,) if began else ())),
        do=(f"Wake or let sleep: {CALL_STEP}",),
        worsens="any danger sign: vet",
        acts=("vet seen", "note"),
    )
