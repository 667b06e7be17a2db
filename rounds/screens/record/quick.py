"""What is asked at the rack, a few keys each: weight, behaviour, food, egg check, lay box, climate, note."""

from __future__ import annotations

from collections.abc import Generator
from typing import Any, Final

from rounds.desk.shift import Shift
from rounds.due.line import DueLine
from rounds.due.weighing import AND_FEEL
from rounds.logbook.drafts import Draft, draft
from rounds.logbook.entries import (
    Ate,
    BehaviourSeen,
    ClimateRead,
    EggCheckDone,
    Fed,
    FeltForEggs,
    LayBoxIn,
    LayBoxOut,
    Noted,
    Weighed,
)
from rounds.logbook.words import BEHAVIOURS, COURTSHIP, DANGER_SIGNS, EGG_SIGNS, LOOK_SIGNS, Behaviour
from rounds.paper.words import counts_words, day_words, resident, time_words
from rounds.rules.plausible import weight_doubt
from rounds.screens.board.board import Line, Span, line
from rounds.screens.prompts.asks import Ask, Figure, Talk
from rounds.screens.prompts.choices import Choice, Confirm, Option, Ticks
from rounds.screens.prompts.fields import MOST_GRAMS
from rounds.screens.prompts.saving import Save
from rounds.screens.prompts.words import Words
from rounds.screens.record.host import Host
from rounds.standing.animal import animal
from rounds.standing.clutch import called
from rounds.standing.enclosure import enclosure
from rounds.standing.female import female
from rounds.standing.fold import Standing
from rounds.standing.group import group
from rounds.standing.pairings import pairings_of
from rounds.standing.shelves import shelf_of
from rounds.standing.weighings import last_weighing

#: The letter of each behaviour; digits choose the first nine too.
BEHAVIOUR_KEYS: Final[dict[Behaviour, str]] = {
    "nest digging": "d",
    "trial nest": "t",
    "head bobbing": "h",
    "arm-waving": "a",
    "beard blackening": "b",
    "mounting": "m",
    "copulation": "c",
    "nape bite": "n",
    "push-ups": "p",
    "gaping": "g",
    "glass pacing": "w",
    "stacking": "s",
    "chasing": "x",
    "biting": "i",
    "basking": "k",
    "hiding": "y",
}


def behaviour(screen: Host, subject: str, place: str | None) -> Talk:
    """Behaviour of an animal; `u` says that it is not known which animal here it was."""
    shift = screen.shift
    standing = shift.desk.standing
    assert set(BEHAVIOUR_KEYS) == set(BEHAVIOURS)
    known = not subject.startswith("enclosure/")
    options = [Option(key, word, word) for word, key in BEHAVIOUR_KEYS.items()]
    if known and place is not None and len(standing.living_in(place)) > 1:
        options.append(Option("u", "not known which animal …", ""))
    title = f"Behaviour of {standing.name(subject)}" if known else "Behaviour of one of them, not known which"
    seen = yield Choice(title, options)
    if seen == "":
        assert place is not None
        yield from behaviour(screen, place, place)
        return
    toward = toward_in_pairing(standing, subject, seen)
    saved = yield Save(draft(BehaviourSeen, subject, behaviour=seen, toward=toward))
    if saved:
        who = standing.name(subject) if known else f"one of those in {standing.name(subject)}"
        screen.say(f"{who}: {seen}" + (f" toward {standing.name(toward)}" if toward else ""), "good")


def toward_in_pairing(standing: Standing, subject: str, seen: Behaviour) -> str | None:
    """Toward whom courtship was shown: the one it is put together with; None where that is not one alone."""
    if not subject.startswith("animal/") or seen not in COURTSHIP:
        return None
    mates = {pair.other(subject) for pair in pairings_of(standing, subject) if pair.until is None}
    return mates.pop() if len(mates) == 1 else None


def weight(screen: Host, subject: str, typed: str) -> Talk:
    """A weight, typed straight in; a figure far from the last one is asked about, once."""
    standing = screen.shift.desk.standing
    one = animal(standing, subject)
    now = screen.shift.now()
    last = last_weighing(one, screen.shift.desk.house.weighing_rule)
    before = f"last {last.grams:g} g, {day_words(last.at, now)}" if last else "no weight yet"
    before += "   Enter writes it, Backspace mends it"
    together = subject.startswith("group/")
    title = f"Weight of {standing.name(subject)}" + (" (mean of one, or total/number/smallest)" if together else "")
    while True:
        figure = Figure(title, typed=typed, unit="g", hint=before, shared=together, most=MOST_GRAMS)
        grams = yield figure
        if not grams:
            screen.say("A weight of nothing was not written.", "today")
            return
        again = yield from typed_again(screen.shift, subject, grams)
        if again is None:
            break
        typed = again
    total, number, smallest = [*figure.parts, "", ""][:3]
    weighed: dict[str, object] = {"grams": round(grams, 3)}
    if number:
        weighed["number"] = int(number)
    if smallest:
        weighed["smallest"] = float(smallest)
    saved = yield Save(Draft(Weighed, subject, weighed))
    if saved:
        each = f" each ({number} together, {total} g)" if number else ""
        each += f", the smallest {smallest} g" if smallest else ""
        desk = screen.shift.desk
        counts = counts_words(desk.standing, desk.house, subject)
        screen.say(f"{standing.name(subject)}: {saved[0].grams:g} g{each}{counts}", "good")


def typed_again(shift: Shift, subject: str, grams: float) -> Generator[Ask, Any, str | None]:
    """Ask whether a weight in g is right that is far from what can be believed.

    None when it is to be written; else what is typed of it again already: the digit that answered, or nothing.
    """
    doubt = weight_doubt(shift.desk.standing, shift.desk.house, subject, grams, shift.now())
    if not doubt:
        return None
    told = [doubt]
    if subject.startswith("group/"):
        many = group(shift.desk.standing, subject).count
        if many > 1 and not weight_doubt(shift.desk.standing, shift.desk.house, subject, grams / many, shift.now()):
            told.append(f"All {many} together? Type {grams:g}/{many}.")
    answer = yield Confirm(told, yes=f"{grams:g} g is right", no="again", by_enter=False, figure=True)
    return None if answer is True else answer or ""


def food(screen: Host, subject: str) -> Talk:
    """How an animal took its food, or food given beside the plan."""
    standing = screen.shift.desk.standing
    name = called(standing, subject)
    options = [
        Option("w", "ate well", ("ate", "well")),
        Option("s", "ate some", ("ate", "some")),
        Option("r", "refused", ("ate", "refused")),
        Option("i", "fed insects now", ("fed", "insects")),
        Option("g", "fed greens now", ("fed", "greens")),
        Option("o", "fed something else …", ("fed", "other")),
    ]
    if subject.startswith("enclosure/"):
        options = options[3:]
    what, value = yield Choice(f"Food of {name}", options)
    if what == "ate":
        wanted = draft(Ate, subject, how=value)
    elif value == "other":
        given = yield Words("What was given", ready=("salad", "fruit", "pellets"))
        wanted = draft(Fed, subject, food="other", what=given)
    else:
        wanted = draft(Fed, subject, food=value)
    saved = yield Save(wanted)
    if saved:
        screen.say(f"{name}: {saved[0].phrase()}", "good")


def egg_check(screen: Host, subject: str) -> Talk:
    """The egg check: a look at her. What is marked is on disk before anything else is asked.

    Then, if she is due to be weighed: her weight, and whether she was felt for eggs (not felt, unless said). With a
    danger sign that no vet has heard of, neither is asked: the phone call comes first.
    """
    shift = screen.shift
    standing, now = shift.desk.standing, shift.now()
    one = animal(standing, subject)
    if one.sex == "M":
        screen.say(f"{one.name} is a male: an egg check is for females.", "today")
        return
    weigh = _weigh_line(shift, subject)
    seen, not_seen = yield Ticks(
        f"Egg check of {one.name}: look, do not touch",
        EGG_SIGNS,
        above=_before_check(shift, subject),
        below="Bright or not, digging, straining, vent, discharge. Any danger sign: the vet at once.",
        grave=DANGER_SIGNS,
        by_look=LOOK_SIGNS,
        before={sign.sign: f"seen {time_words(sign.last.at, now)}, no vet heard yet" for sign in one.danger},
    )
    saved = yield Save(draft(EggCheckDone, subject, present=seen, absent=not_seen))
    if not saved:
        return
    written = [saved[0].phrase()]
    grave = [sign for sign in seen if sign in DANGER_SIGNS]
    if grave:
        screen.bell()
    if weigh is not None and not grave and not one.danger:
        written += yield from _weighed_and_felt(screen, subject, feel=AND_FEEL in weigh.says)
    if grave:
        refer = f"{screen.label('attention')}, then Enter"
        screen.say(f"{one.name}: {', '.join(grave)}. Phone a vet now. What to do: {refer}.", "vet")
    elif one.danger:
        screen.say(f"{one.name}: {', '.join(written)}. Signs come and go: it stays for the vet.", "vet")
    else:
        screen.say(f"{one.name}: {', '.join(written)}", "good")


def _weighed_and_felt(screen: Host, subject: str, *, feel: bool) -> Generator[Ask, Any, list[str]]:
    """Her weight, and what was felt; each on disk at once, each may be left out. What was written, in words."""
    shift = screen.shift
    one = animal(shift.desk.standing, subject)
    last, written = last_weighing(one, shift.desk.house.weighing_rule), []
    hint = f"last {last.grams:g} g, {day_words(last.at, shift.now())}   " if last else ""
    typed = ""
    while True:
        grams = yield Figure(
            f"Weight of {one.name}",
            typed=typed,
            unit="g",
            optional=True,
            most=MOST_GRAMS,
            hint=hint + "Enter alone: not weighed",
            stays="The check is written. Enter alone: not weighed.",
        )
        again = (yield from typed_again(shift, subject, grams)) if grams else None
        if again is None:
            break
        typed = again
    if grams:
        saved = yield Save(draft(Weighed, subject, grams=grams))
        counts = counts_words(shift.desk.standing, shift.desk.house, subject)
        written += [entry.phrase() + counts for entry in saved]
    if feel:
        found = yield Choice(
            f"Felt {one.name} for eggs? For practised hands; do not press.",
            [
                Option("x", "not felt", None),
                Option("f", "eggs felt", "eggs"),
                Option("n", "none felt", "none"),
                Option("u", "felt, not sure", "unsure"),
            ],
            start=0,
            by_digits=False,
        )
        if found is not None:
            saved = yield Save(draft(FeltForEggs, subject, found=found))
            written += [entry.phrase() for entry in saved]
    return written


def _weigh_line(shift: Shift, subject: str) -> DueLine | None:
    """The line of her weighing, when it is due at her stop now."""
    place = shift.desk.standing.places.get(subject)
    lines = shift.lines(place) if place is not None else ()
    return next(
        (due for due in lines if due.care == "weigh" and due.about == subject and due.left_out is None), None
    )


def _before_check(shift: Shift, subject: str) -> list[Line]:
    standing, house, now = shift.desk.standing, shift.desk.house, shift.now()
    row = resident(standing, house, subject, now)
    her = female(standing, subject, house.breeding_days)
    last = her.last_egg_check
    shown = [line(" ", Span(f"{row.age}   {row.weight}   {row.trend}   {row.state}", "quiet"))]
    if last is not None:
        shown.append(
            line(" ", Span(f"last check {time_words(last.at, now)} by {last.by}: {last.phrase()}", "quiet"))
        )
    return shown


def lay_box(screen: Host, subject: str) -> Talk:
    """Lay box in, with depth and medium; or out, when there is one."""
    standing = screen.shift.desk.standing
    name = called(standing, subject)
    if subject.startswith("animal/"):
        if animal(standing, subject).sex == "M":
            screen.say(f"{name} is a male and lays no eggs.", "today")
            return
        here = female(standing, subject, screen.shift.desk.house.breeding_days).lay_box
    else:
        here = enclosure(standing, subject).lay_box
    if here is not None:
        what = yield Choice(
            f"{name} has a lay box, put in {day_words(here.at, screen.shift.now())}",
            [Option("o", "take it out", "out"), Option("n", "a new one in", "in")],
            by_digits=False,
        )
        if what == "out":
            saved = yield Save(draft(LayBoxOut, here.about))
            if saved:
                screen.say(f"{name}: lay box out", "good")
            return
    nest = screen.shift.desk.house.rule("eggbinding.nest_depth_cm")
    depth = yield Figure(
        f"Lay box for {name}: depth",
        unit="cm",
        optional=True,
        hint=f"{nest.shown()} or more; Enter alone: depth not written",
    )
    medium = yield Words(
        "Medium", optional=True, ready=("damp sand and soil", "damp soil and peat", "damp vermiculite")
    )
    fields: dict[str, object] = {"medium": medium} if medium else {}
    if depth:
        fields["depth_cm"] = depth
    saved = yield Save(Draft(LayBoxIn, subject, fields))
    if saved:
        screen.say(f"{name}: {saved[0].phrase()}", "good")


#: Asked where no temperature of now was given: a thermometer that keeps them shows these of the last day.
_EXTREMES: Final = (("air_low_c", "lowest of the last day", "°C"), ("air_high_c", "highest", "°C"))


def climate(screen: Host, place: str, *, inside: bool = False) -> Talk:
    """Temperatures in °C and the UV index; each may be left out.

    At a box on a shelf the shelf is read; with `inside` the probe in the box.
    """
    standing = screen.shift.desk.standing
    place = place if inside else shelf_of(standing, place)
    where = "inside it" if inside else "in the shelf"
    holds_animals = place == "room" or enclosure(standing, place).holds_animals
    asked = (
        (
            ("basking_c", "basking spot", "°C"),
            ("cool_c", "cool end", "°C"),
            ("night_low_c", "night low", "°C"),
            ("uv_index", "UV index", ""),
        )
        if holds_animals
        else (("air_c", f"air {where}", "°C"), ("humidity", "humidity", "%"), *_EXTREMES)
    )
    fields: dict[str, object] = {}
    for name, word, unit in asked:
        if name in ("air_low_c", "air_high_c") and "air_c" in fields:
            continue
        value = yield Figure(f"{standing.name(place)}: {word}", unit=unit, optional=True)
        if value is not None:
            fields[name] = value
    if not fields:
        screen.say("No reading was written.", "quiet")
        return
    saved = yield Save(Draft(ClimateRead, place, fields))
    if saved:
        screen.say(f"{standing.name(place)}: {saved[0].phrase()}", "good")


def note(screen: Host, subject: str) -> Talk:
    """A note in the keeper's own words."""
    name = called(screen.shift.desk.standing, subject)
    text = yield Words(f"Note about {name}:", several=True)
    saved = yield Save(draft(Noted, subject, note=text))
    if saved:
        screen.say(f"{name}: noted", "good")
