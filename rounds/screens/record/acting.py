"""What is done about a matter from where it is read: each act by a letter, then its form or talk."""

from __future__ import annotations

from typing import Final

from rounds.due.matter import Act, Matter
from rounds.logbook.drafts import draft
from rounds.logbook.entries import (
    BehaviourSeen,
    DroppingsSeen,
    EggsLaid,
    Entry,
    FeltForEggs,
    LampChanged,
    Measured,
    Moved,
    Parted,
    QuarantineEnded,
    Referred,
    Tested,
    TreatmentGiven,
    VetCalled,
    VetSeen,
)
from rounds.screens.prompts.asks import Found, Search, Talk
from rounds.screens.prompts.choices import Choice, Option
from rounds.screens.prompts.finding import find
from rounds.screens.prompts.saving import Save
from rounds.screens.record import quick, stock, young
from rounds.screens.record.egg_boxes import weighs
from rounds.screens.record.egg_looks import eggs_menu
from rounds.screens.record.filling import fill
from rounds.screens.record.forms import FORM_OF
from rounds.screens.record.host import Host
from rounds.screens.record.kind_form import fits
from rounds.standing.clutch import clutch

#: What acting on a matter is called, and the key it has.
ACTS: Final[dict[Act, tuple[str, str]]] = {
    "lay box": ("l", "lay box in or out"),
    "egg check": ("e", "egg check"),
    "weigh": ("w", "weigh"),
    "felt": ("f", "felt for eggs"),
    "eggs laid": ("g", "eggs laid"),
    "refer": ("r", "referred to a vet"),
    "vet called": ("k", "phoned the vet"),
    "vet seen": ("v", "a vet has seen it"),
    "who": ("u", "it is known now which animal it was"),
    "part": ("p", "parted"),
    "move": ("m", "moved"),
    "climate": ("c", "read the climate"),
    "lamp": ("h", "UV lamp changed"),
    "feed": ("d", "food: how it ate"),
    "droppings": ("s", "droppings seen"),
    "quarantine": ("q", "quarantine ended"),
    "tested": ("a", "sample tested"),
    "measure": ("x", "measure"),
    "treatment": ("t", "treatment given as prescribed"),
    "appointment": ("b", "an appointment"),
    "appointment ended": ("y", "what became of the appointment"),
    "stock counted": ("o", "counted"),
    "stock in": ("i", "came in"),
    "egg box": ("z", "weigh the egg box"),
    "eggs": ("j", "eggs: candle, look, take out"),
    "count": ("o", "count the group"),
    "split": ("i", "split off some into another group"),
    "note": ("n", "note"),
}
_FORMS: Final[dict[Act, type[Entry]]] = {
    "felt": FeltForEggs,
    "eggs laid": EggsLaid,
    "refer": Referred,
    "vet called": VetCalled,
    "vet seen": VetSeen,
    "part": Parted,
    "move": Moved,
    "lamp": LampChanged,
    "droppings": DroppingsSeen,
    "quarantine": QuarantineEnded,
    "tested": Tested,
    "measure": Measured,
    "treatment": TreatmentGiven,
}


def acting(screen: Host, matter: Matter) -> Talk:
    """Choose what was done about a matter, and write it; a note can always be written."""
    agreed: tuple[Act, ...] = ("appointment",) if matter.about.startswith(("animal/", "group/")) else ()
    acts = tuple(dict.fromkeys((*matter.acts, *agreed, "note")))
    act: Act = yield Choice("What was done?", [Option(*ACTS[one], one) for one in acts])
    who, place = matter.about, matter.place
    if act == "who":
        yield from _who(screen, matter)
    elif act == "egg check":
        yield from quick.egg_check(screen, who)
    elif act == "lay box":
        yield from quick.lay_box(screen, who)
    elif act == "weigh":
        yield from quick.weight(screen, who, "")
    elif act == "climate":
        yield from quick.climate(screen, place or who)
    elif act == "feed":
        yield from quick.food(screen, who)
    elif act == "stock counted":
        yield from stock.count(screen, who, "")
    elif act == "stock in":
        yield from stock.came_in(screen, who)
    elif act == "appointment":
        yield from stock.appointment(screen, who)
    elif act == "appointment ended":
        yield from stock.ended(screen, who)

    elif act == "egg box":
        yield from weighs(screen, place or who)
    elif act == "eggs":
        yield from _eggs(screen, who)
    elif act == "count":
        yield from young.count(screen, who)
    elif act == "split":
        if who.startswith("group/"):
            yield from young.split(screen, who)
        else:
            screen.say("It lives alone or among others: move it.", "today")
    elif act == "note":
        yield from quick.note(screen, who)
    else:
        form = FORM_OF[_FORMS[act]]
        about = place if act == "lamp" and place is not None else who
        if not fits(form, about):
            about = yield _whom(screen, "About whom?", place or who)
        yield from fill(screen, form, about)


def _eggs(screen: Host, subject: str) -> Talk:
    """The menu of a clutch's box; where it lies in several, of the one that is chosen."""
    from rounds.standing.egg_boxes import boxes_of  # late: no start has to wait for it

    desk = screen.shift.desk
    eggs = clutch(desk.standing, subject)
    boxes = boxes_of(desk.standing, eggs, desk.house.egg_figures)
    if not boxes:
        screen.say(f"{eggs.called} lies in no egg box.", "today")
        return
    box = boxes[0]
    if len(boxes) > 1:
        box = yield Choice(
            "In which box?",
            [Option(chr(97 + n), desk.standing.name(one.place), one) for n, one in enumerate(boxes[:20])],
        )
    yield from eggs_menu(screen, box, eggs)


def _whom(screen: Host, title: str, place: str) -> Search:
    """One of those who live in a place, first; any other by a few letters."""
    standing = screen.shift.desk.standing
    here = [Found(standing.name(one), one) for one in standing.living_in(place)]
    return Search(title, lambda typed: find(standing, typed, "animal") if typed.strip() else here)


def _who(screen: Host, matter: Matter) -> Talk:
    """It is known now which animal it was: the entry about the tub is replaced by one about the animal."""
    shift = screen.shift
    standing = shift.desk.standing
    place = matter.place or matter.about
    here = [one for one in standing.living_in(place) if one.startswith("animal/")]
    # Likeliest first, as the matter names them.
    says = matter.says
    here.sort(key=lambda one: says.find(standing.name(one)) if standing.name(one) in says else len(says))
    options = [Option(str(number), standing.name(one), one) for number, one in enumerate(here, 1)]
    seen = [one for one in matter.entries if isinstance(one, BehaviourSeen) and one.about == place]
    sightings = f" (seen {len(seen)} times)" if len(seen) > 1 else ""
    who = yield Choice(f"Who was it?{sightings}", [*options, Option("o", "another …", "")])
    if not who:
        who = yield Search("Who was it?", lambda typed: find(standing, typed, "animal"))
    pending = list(seen)

    def corrected() -> tuple[Entry, ...]:
        written: tuple[Entry, ...] = ()
        while pending:  # what is written is not written again when the disk fails in between
            wrong = pending[0]
            right = draft(BehaviourSeen, who, behaviour=wrong.behaviour, toward=wrong.toward, note=wrong.note)
            written += shift.correct(wrong, right, f"it was {standing.name(who)}")
            pending.pop(0)
        return written

    yield Save(write=corrected, says=[f"{standing.name(who)}: {one.phrase()}" for one in seen])
    screen.say(f"Written for {standing.name(who)}; the entry about the tub stays readable.", "good")
