"""The opening of the logbook, the walks, and the keepers who take over and hand over."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from textwrap import wrap
from typing import Final

from demo_colony.animals import BRUMATED, DWELLERS, OPENED
from demo_colony.book import Line
from demo_colony.daily import wakes
from demo_colony.people import (
    BENCH,
    EVENING_HANDED_OVER,
    EVENING_TAKEN_OVER,
    MORNING_HANDED_OVER,
    MORNING_TAKEN_OVER,
    RACK_LAPTOP,
    ROOM_NAME,
    on_shift,
)
from demo_colony.places import EVER
from demo_colony.room import EVENINGS_SINCE, LEFT_AT, MORNINGS_SINCE, STOPS, Timetable, stops_on
from rounds.logbook.entries import (
    Arrived,
    BrumationBegan,
    BrumationEnded,
    EnclosureSetUp,
    Fed,
    HandedOver,
    StopWalked,
    TakenOver,
    Tested,
    WarmUpBegan,
)

#: The room was built so many days before the end.
BUILT: Final = -2300


def opening(end: date) -> Iterator[Line]:
    """What stood and who lived in the room when the logbook was opened, written down on that day."""
    late = 10 * 3600
    for number, place in enumerate(EVER, 1):
        fields = {
            "name": place.name,
            "what": place.what,
            "rack": place.rack,
            "where": place.where,
            "order": float(number),
            "tag": f"QS-{number:02d}",
        }
        yield Line(BUILT, 9 * 3600 + number, EnclosureSetUp, place.subject, fields, (OPENED, late + 20 * number))
    for number, one in enumerate(DWELLERS):
        here = one.came > -OPENED
        day = -one.came
        fields = {
            "name": one.name,
            "place": one.place,
            "sex": one.sex,
            "hatched": end - timedelta(days=one.age),
            "hatched_about": bool(one.origin),
            "dam": f"animal/{one.dam}" if one.dam else None,
            "sire": f"animal/{one.sire}" if one.sire else None,
            "clutch": f"clutch/{one.clutch}" if one.clutch else None,
            "origin": one.origin,
            "bred_here": not one.origin,
            "quarantine": not here,
            "traits": one.traits,
            "possible_sires": tuple(f"animal/{sire}" for sire in one.sires),
        }
        written = (OPENED, late + 1500 + 30 * number) if here else None
        yield Line(day, 11 * 3600 + 30 * 60, Arrived, one.subject, fields, written)
        for began in one.winters():
            yield from _winter(one.subject, number, began, (OPENED, late + 4000 + number))


def _winter(who: str, number: int, began: int, late: tuple[int, int]) -> Iterator[Line]:
    """Tested, brumation, warm-up and awake again: in the paper book, as far as it was before this logbook."""
    last = began != BRUMATED[-1]
    awake = wakes(number) + (began - BRUMATED[-1])
    yield Line(began - 21, 10 * 3600, Tested, who, {"what": "faecal test", "clear": True}, late)
    yield Line(began + number % 9, 17 * 3600, BrumationBegan, who, {}, late)
    warm = awake - 7
    yield Line(warm, 14 * 3600 + number, WarmUpBegan, who, {}, late if warm <= OPENED else None)
    yield Line(awake, 15 * 3600 + 60 * number, BrumationEnded, who, {}, late if last else None)
    if last:
        yield Line(awake + 2, 9 * 3600, Fed, who, {"what": "roaches"}, late)


def walks(end: date, times: Timetable) -> Iterator[Line]:
    """A keeper stood at each stop, on each walk that was written stop by stop."""
    for day in range(OPENED + 1, 0):
        for when, part in (("m", "morning"), ("e", "evening")):
            fields = {"walk": part, "day": end + timedelta(days=day)}
            for stop in stops_walked(day, part):
                yield Line(day, times.at(stop, day, when), StopWalked, stop, fields, desk=RACK_LAPTOP)


def shifts(end: date) -> Iterator[Line]:
    """Each keeper takes over what the one before handed over."""
    before = ""
    for day in range(OPENED + 1, 0):
        morning, evening = on_shift(day)
        for part, by, to, over, out in (
            ("morning", morning, evening, MORNING_TAKEN_OVER, MORNING_HANDED_OVER),
            ("evening", evening, on_shift(day + 1).morning, EVENING_TAKEN_OVER, EVENING_HANDED_OVER),
        ):
            ids = (("hand_over", before),) if before else ()
            yield Line(day, over * 60, TakenOver, "room", {"desk": BENCH}, ids=ids)
            before = f"hand-over {day} {part}"
            note = NOTES.get((day, part), "")
            fields = {
                "to": to,
                "desk": BENCH,
                "note": note,
                "sheet": sheet(end, day, f"{by} to {to}", part, over, out, note),
            }
            yield Line(day, out * 60, HandedOver, "room", fields, label=before)


#: What was written down for the next keeper on the days on which there was something to say.
NOTES: Final = {
    (-1, "evening"): (
        "Walk left behind the lay boxes: incubator and Q1 not done. "
        "Mulga was dull at 18:55; the vet's line is engaged, ring again before anything else. "
        "Pimelea: the last egg came at 06:35 yesterday, her 48 hours are over in the morning. "
        "Melaleuca: nine eggs, none since the night before last. "
        "Wattle digs and has no lay box; L4 is free and filled. "
        "Somebody digs in T2. "
        "Tussock laid nineteen at 18:40: box them first thing. Senna's eggs hatch in K1, three are in Y1."
    ),
    (-1, "morning"): "Hibbertia is referred, the vet sees her the day after tomorrow. Kurrajong is back in C6.",
    (-2, "morning"): "Kurrajong is done: twenty, boxed. Pimelea stopped at fourteen, look again in the evening.",
    (-3, "evening"): "Fern sits in T4 until the mat for E6 comes; keep an eye on Ironbark.",
    (-10, "morning"): "Clematis goes to the vet tomorrow.",
    (-33, "evening"): "Power was away for forty minutes; all readings are back.",
}


def stops_walked(day: int, part: str) -> tuple[str, ...]:
    """The stops a walk came to, as far as they are written."""
    if part == "morning":
        return stops_on(day) if day >= MORNINGS_SINCE else ()
    if day == -1:
        return STOPS[: STOPS.index(LEFT_AT)]
    return STOPS if day >= EVENINGS_SINCE else ()


def sheet(end: date, day: int, who: str, part: str, over: int, out: int, note: str) -> str:
    """The text that was signed: short, for it is the room's own and not this program's."""
    head = f"{ROOM_NAME}   hand-over"
    then = end + timedelta(days=day)
    when = f"{then:%a} {then.day} {then:%b %Y} {out // 60:02d}:{out % 60:02d}"
    walked = len(stops_walked(day, part))
    stops = f"   {part} walk: {walked} of {len(stops_on(day))} stops" if walked else ""
    lines = [
        head + when.rjust(80 - len(head)),
        "=" * 80,
        f"{who}   on shift since {over // 60:02d}:{over % 60:02d}{stops}",
        "",
        "FOR THE NEXT KEEPER",
        *wrap(note or "(nothing)", 78, initial_indent="  ", subsequent_indent="  "),
    ]
    return "\n".join(lines) + "\n"
