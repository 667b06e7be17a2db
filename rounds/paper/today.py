"""Today's round: every stop in walking order with who lives there, what is due and what needs attention."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime

from rounds.due.line import DueLine
from rounds.due.matter import Matter
from rounds.due.reckon import open_matters
from rounds.due.walk import Walk
from rounds.paper.clutch_words import clutch_words
from rounds.paper.page import Page
from rounds.paper.values import Values, counts, due_values, matter_values, moment, resident_values
from rounds.paper.words import many
from rounds.rules.settings import Settings
from rounds.standing.clutch import clutches_in
from rounds.standing.enclosure import enclosure
from rounds.standing.fold import Standing

#: What is due at a stop (None: to those who live nowhere).
LinesAt = Callable[[str | None], Sequence[DueLine]]
_LEVEL_WORDS = {"watch": "watch", "today": "TODAY", "vet": "VET", "vet now": "VET NOW"}


def today(
    standing: Standing,
    settings: Settings,
    now: datetime,
    walk: Walk,
    lines_at: LinesAt,
    matters: Sequence[Matter],
    *,
    forecasts: bool = True,
) -> Values:
    """The round as values, ready for JSON; the text does without the `forecasts`, which take a while."""
    house = settings.house
    standing_matters = open_matters(matters)
    at_stop: dict[str, list[Matter]] = {}
    elsewhere: list[Matter] = []
    stops = set(walk.order)
    for matter in standing_matters:
        place = matter.about if matter.about in stops else matter.place
        if place in stops:
            at_stop.setdefault(place, []).append(matter)
        else:
            elsewhere.append(matter)
    done, of = walk.progress
    return {
        "colony": settings.name,
        "now": moment(now, house),
        "day": walk.day.isoformat(),
        "walk": {"part": walk.part, "stops": of, "done": done, "resume": walk.resume},
        "matters": counts(standing_matters),
        "stops": [
            _stop(standing, settings, now, walk, stop, lines_at(stop), at_stop.get(stop, ()), forecasts)
            for stop in walk.order
        ],
        "no_place": {
            "residents": [resident_values(standing, house, who, now, forecast=forecasts) for who in walk.no_place],
            "due": [due_values(standing, line) for line in (lines_at(None) if walk.no_place else ())],
        },
        "elsewhere": [matter_values(standing, house, matter) for matter in elsewhere],
    }


def _stop(
    standing: Standing,
    settings: Settings,
    now: datetime,
    walk: Walk,
    stop: str,
    due: Sequence[DueLine],
    matters: Sequence[Matter],
    forecasts: bool,
) -> Values:
    place = enclosure(standing, stop)
    boxes = () if place.holds_animals and not clutches_in(standing, stop) else _boxes(standing, settings, now, stop)
    return {
        "number": walk.number(stop),
        "enclosure": stop,
        "name": place.name,
        "what": place.what,
        "where": place.set_up.where if place.set_up else "",
        "done": [{"by": one.by, "at": moment(one.at, settings.house)} for one in walk.done.get(stop, ())],
        "residents": [
            resident_values(standing, settings.house, who, now, forecast=forecasts) for who in place.living
        ],
        "clutches": [
            {
                "clutch": one.subject,
                "here": one.left_in(stop),
                "left_to_hatch": one.left_to_hatch,
                "says": clutch_words(one, now, stop),
            }
            for one in clutches_in(standing, stop)
        ],
        "egg_boxes": list(boxes),
        "due": [due_values(standing, line) for line in due],
        "matters": [matter_values(standing, settings.house, matter) for matter in matters],
    }


def _boxes(standing: Standing, settings: Settings, now: datetime, stop: str) -> list[Values]:
    from rounds.paper.boxes import box_words, boxes_here  # late: no start has to wait for it

    return [
        {
            "box": box.place,
            "of_clutch": box.of_clutch,
            "name": standing.name(box.place),
            "says": box_words(box, now),
        }
        for box in boxes_here(standing, settings.house, stop)
    ]


def today_text(round_: Values, now: datetime) -> str:
    """The round as 80 columns of text."""
    page = Page()
    walk = round_["walk"]
    page.title(f"{round_['colony']}   {walk['part']} walk", f"{now:%a} {now.day} {now:%b %Y %H:%M}")
    page.text(f"{walk['done']} of {many(walk['stops'], 'stop')} done.   {matter_counts(round_['matters'])}")
    if not round_["stops"]:
        page.text("No enclosure is set up yet: `rounds open` sets one up, or `rounds log enclosure_set_up B3`.")
    for stop in round_["stops"]:
        page.blank()
        where = "".join(f"  {word}" for word in (stop["what"], stop["where"]) if word)
        page.text(f"{stop['name']}{where}{_walked(stop['done'])}", f"{stop['number']:>3}  ")
        _stop_text(page, stop, stop["enclosure"])
    if round_["no_place"]["residents"]:
        page.heading("Without a place in the walk")
        _stop_text(page, {**round_["no_place"], "matters": []}, "")
    if round_["elsewhere"]:
        page.heading("Matters of no stop")
        for matter in round_["elsewhere"]:
            page.text(_answered(matter), f"     {_LEVEL_WORDS[matter['level']]:<8} ")
    return str(page)


def _stop_text(page: Page, stop: Values, own: str) -> None:
    page.table(
        [
            [str(one.get("count", one["sex"])), one["name"], one["age"], one["weight"], _state(one)]
            for one in stop["residents"]
        ],
        (4, 16, 8, 8),
        lead="     ",
    )
    # What lies in boxes is said with them, each clutch once.
    for eggs in stop.get("clutches", ()) if not stop.get("egg_boxes") else ():
        page.text(eggs["says"], "     eggs     ")
    for box in stop.get("egg_boxes", ()):
        page.text(f"{box['name']}  {box['says']}" if box["box"] != own else box["says"], "     box      ")
    for matter in stop["matters"]:
        page.text(_answered(matter), f"     {_LEVEL_WORDS[matter['level']]:<8} ")
    open_lines = [line for line in stop["due"] if line["left_out"] is None]
    plain = [due_words(line, own) for line in open_lines if line["plain"]]
    looks = [due_words(line, own) for line in open_lines if not line["plain"]]
    page.text("; ".join(plain), "     due      ")
    page.text("; ".join(looks), "     look     ")
    for line in stop["due"]:
        if line["left_out"] is not None:
            page.text(f"{due_words(line, own)}: {line['left_out']}", "     left out ")


def _state(one: Values) -> str:
    return "   ".join(word for word in (one["trend"], one["state"]) if word)


def due_words(line: Values, own: str) -> str:
    """A due line in words: what, whom it concerns unless that is `own`, the enclosure, and how late."""
    care, says = line["care"], line["says"]
    # Where what is due begins with its name, that is said once.
    named = line["about"] in ("", own) or f"{line['name']}," in says
    who = "" if named else line["name"]
    late = f", {many(line['late_days'], 'day')} late" if line["late_days"] > 0 else ""
    last = care.rpartition(" ")[2]
    if care.endswith(says):
        what = care
    elif care in says.split() or says.startswith("UV lamp"):
        what = says
    elif says.startswith((care, last)):
        what = f"{care}{says.removeprefix(care).removeprefix(last)}"
    else:
        return f"{care} {who}: {says}{late}" if who else f"{care}: {says}{late}"
    return f"{what} ({who}){late}" if who else f"{what}{late}"


def _walked(done: Sequence[Values]) -> str:
    if not done:
        return ""
    by = " and ".join(f"{one['by']} {datetime.fromisoformat(one['at']):%H:%M}" for one in done)
    return f"   [done{f' {len(done)} times' if len(done) > 1 else ''}: {by}]"


def _answered(matter: Values) -> str:
    read = matter["acknowledged"]
    parts = [
        matter["says"],
        f"[read by {read['by']}]" if read else "",
        f"Vet: {matter['phone']}." if matter["phone"] else "",
    ]
    return " ".join(word for word in parts if word)


def matter_counts(found: dict[str, int]) -> str:
    """`1 vet now, 2 today`, or that nothing needs attention."""
    parts = [f"{number} {word}" for word, number in found.items() if number]
    return ", ".join(parts) if parts else "Nothing needs attention."
