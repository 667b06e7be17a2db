"""The hand-over: what the outgoing keeper signs and the next one takes over, as values; and when it is refused."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime
from typing import Final, NamedTuple

from rounds.due.coming_agreed import agreed
from rounds.due.dates import days_after
from rounds.due.forecast import forecast_of
from rounds.due.matter import Level, Matter
from rounds.due.reckon import open_matters
from rounds.due.round import walk_day
from rounds.due.walk import Walk
from rounds.errors import Refused
from rounds.logbook.entries import (
    Acknowledged,
    Cleaned,
    ClimateLogged,
    ClimateRead,
    Corrected,
    Entry,
    Fed,
    HandedOver,
    LampChanged,
    LeftOut,
    Misted,
    PutOff,
    StopWalked,
    TakenOver,
    Watered,
)
from rounds.logbook.words import Care
from rounds.paper.fortnight import coming_values
from rounds.paper.plain_text import shown
from rounds.paper.said import said
from rounds.paper.supplies import supply_list
from rounds.paper.today import LinesAt
from rounds.paper.values import Values, counts, due_values, entry_values, forecast_values, matter_values, moment
from rounds.paper.words import many, phase_words
from rounds.paper.words import window as laying_window
from rounds.rules.house import House
from rounds.rules.settings import Settings
from rounds.standing.clutch import called
from rounds.standing.enclosure import enclosure
from rounds.standing.female import Female, females_here
from rounds.standing.fold import Standing

#: Care that is listed by where it was done; everything else entry by entry.
_BY_STOP: Final = (Fed, Watered, Misted, Cleaned, LampChanged)
#: What belongs to the people's side and stands elsewhere on the sheet, or not at all.
_ASIDE: Final = (StopWalked, LeftOut, HandedOver, TakenOver, Acknowledged, PutOff, Corrected)
#: What is agreed for so many days from today on stands on the sheet.
_AGREED_DAYS: Final = 7
#: A phase that needs no line among the breeding females.
_QUIET: Final = frozenset({"resting"})


class Done(NamedTuple):
    """What the sheet is made from, beside the standing: the walk, its entries, and what is open."""

    walk: Walk
    lines_at: LinesAt
    matters: Sequence[Matter]
    #: Entries of the last days, oldest first: those of the shift are picked out.
    entries: Sequence[Entry]
    #: Sentences about damaged sheets.
    troubles: Sequence[str] = ()


def shift_began(entries: Iterable[Entry], by: str, now: datetime) -> datetime:
    """When this keeper's shift began, from the entries of the last days, oldest first.

    As taken over, if it was not handed over since; else at the last hand-over of today, else at midnight.
    """
    midnight = now.replace(hour=0, minute=0, second=0, microsecond=0)
    taken: datetime | None = None
    handed = midnight
    for entry in entries:
        if isinstance(entry, TakenOver) and entry.by == by:
            taken = entry.at
        elif isinstance(entry, HandedOver):
            handed = max(handed, entry.at)
            if entry.by == by:
                taken = None
    return min(taken or handed, now)


def refuse_unread(matters: Iterable[Matter], standing: Standing) -> None:
    """Raise `Refused` while a vet-now matter was read by no one, or stands on no sheet.

    It is not handed over unseen. One on no sheet is brought back or left first: the next may see nothing of it.
    """
    matters = tuple(matters)
    off = [one for one in matters if one.on_no_sheet and one.level is Level.VET_NOW]
    if off:
        lines = "\n".join(f"  {shown(one.says)}" for one in off)
        raise Refused(
            f"Not signed: {many(len(off), 'vet-now matter')} on no sheet.\n{lines}\n"
            "Act. Then `rounds check --bring-back` writes it again, `rounds check --leave-missing --sure` "
            "leaves it. In the app: F12."
        )
    unread = [one for one in open_matters(matters) if one.level is Level.VET_NOW and one.needs_acknowledging]
    if unread:
        lines = "\n".join(
            f"  {shown(called(standing, one.about))}: {shown(one.says)}\n"
            f'    rounds log acknowledged {one.about} matter="{one.key}" level="{one.level.word}" --by …'
            for one in unread
        )
        raise Refused(
            f"Not signed: {many(len(unread), 'vet-now matter')} no one has read. Read it, act, and "
            "say so in "
            f"the app (a, then y) or with\n{lines}"
        )


def hand_over(
    standing: Standing,
    settings: Settings,
    now: datetime,
    done: Done,
    *,
    by: str,
    since: datetime,
    to: str = "",
    notes: str = "",
) -> Values:
    """The sheet as values, ready for JSON."""
    house, walk = settings.house, done.walk
    shift = [entry for entry in _counting(done.entries) if since <= (entry.written or entry.at) <= now]
    order = {stop: place for place, stop in enumerate(walk.order)}
    open_now = open_matters(done.matters)
    walked, of = walk.progress
    due = [(stop, line) for stop in (*walk.order, None) for line in done.lines_at(stop)]
    return {
        "colony": settings.name,
        "now": moment(now, house),
        "by": by,
        "to": to,
        "since": moment(since, house),
        "walk": {"part": walk.part, "day": walk.day.isoformat(), "done": walked, "stops": of},
        "stops_left": [_named(standing, stop) for stop in walk.order if stop not in walk.done],
        "by_care": [
            {"care": care, "places": [_named(standing, place) for place in _in_order(places, order)]}
            for care, places in _by_care(standing, shift).items()
        ],
        "singly": [_in_words(standing, entry) for entry in shift if not isinstance(entry, (*_BY_STOP, *_ASIDE))],
        "corrected": sum(isinstance(entry, Corrected) and since <= entry.at <= now for entry in done.entries),
        "left_out": [
            {**_in_words(standing, entry), "care": entry.care, "reason": entry.reason}
            for entry in shift
            if isinstance(entry, LeftOut)
        ],
        "not_done": [
            {**due_values(standing, line), "place": stop, "place_name": standing.name(stop) if stop else None}
            for stop, line in due
            if line.left_out is None and line.due <= walk.day
        ],
        "matters": {
            "counts": counts(open_now),
            "open": [matter_values(standing, house, matter) for matter in open_now],
            "put_off": [matter_values(standing, house, one) for one in done.matters if one.put_off is not None],
        },
        "females": [
            _female(her, house, now) for her in females_here(standing, house.breeding_days) if _breeding(her, now)
        ],
        "readings": list(_out_of_range(standing, house, shift)),
        "agreed": _agreed(standing, settings, now),
        "order": supply_list(standing, settings, now)["order"],
        "notes": notes,
        "troubles": list(done.troubles),
    }


def _agreed(standing: Standing, settings: Settings, now: datetime) -> list[Values]:
    """Appointments and days a vet named, those that passed and were not answered among them, for the next days."""
    today = walk_day(now, settings.house)
    found = sorted(agreed(standing, settings.house, now), key=lambda one: (one.day, one.clock))
    last = days_after(today, _AGREED_DAYS)
    return [coming_values(standing, settings, now, one, max(one.day, today)) for one in found if one.day <= last]


def _counting(entries: Sequence[Entry]) -> list[Entry]:
    """Those that were not taken back."""
    dead = {entry.replaces for entry in entries if isinstance(entry, Corrected)}
    return [entry for entry in entries if entry.id not in dead]


def _in_order(places: Iterable[str], order: Mapping[str, int]) -> list[str]:
    return sorted(places, key=lambda place: (order.get(place, len(order)), place))


def _named(standing: Standing, place: str) -> Values:
    return {"enclosure": place, "name": standing.name(place)}


def _cares_of(entry: Entry) -> tuple[Care, ...]:
    if isinstance(entry, Fed):
        return (
            "feed insects" if entry.food == "insects" else "feed greens" if entry.food == "greens" else "other",
        )
    if isinstance(entry, Cleaned):
        return ("full clean" if entry.extent == "full" else "spot clean",)
    if isinstance(entry, Watered):
        return ("water", "dish") if entry.scrubbed else ("water",)
    return ("lamp" if isinstance(entry, LampChanged) else "mist",)


def _by_care(standing: Standing, shift: Sequence[Entry]) -> dict[Care, list[str]]:
    """Where each piece of routine care was done: the enclosure, also when it was noted of one who lives there."""
    found: dict[Care, dict[str, None]] = {}
    for entry in shift:
        if isinstance(entry, _BY_STOP):
            place = entry.about if entry.about.startswith("enclosure/") else standing.places.get(entry.about)
            for care in _cares_of(entry):
                found.setdefault(care, {}).setdefault(place or entry.about)
    return {care: list(places) for care, places in sorted(found.items())}


def _in_words(standing: Standing, entry: Entry) -> Values:
    place = standing.places.get(entry.about)
    return {
        "about": entry.about,
        "name": called(standing, entry.about),
        "place_name": standing.name(place) if place else None,
        "says": said(standing, entry),
        "entry": entry_values(entry),
    }


def _breeding(her: Female, now: datetime) -> bool:
    """Whether she needs a line among the breeding females: by her phase, or an open window of whatever reason."""
    days = laying_window(her, now)
    in_window = days is not None and days.opens <= now.date() <= days.closes
    return in_window or her.phase(now) not in _QUIET


def _female(her: Female, house: House, now: datetime) -> Values:
    """One breeding female at a glance."""
    window = laying_window(her, now)
    box, check = her.lay_box, her.last_egg_check
    place = her.animal.place
    return {
        "subject": her.subject,
        "name": her.animal.name,
        "place": place,
        "place_name": her.standing.name(place) if place else None,
        "phase": her.phase(now),
        "says": phase_words(her, now, on_paper=True),
        "window": [window.opens.isoformat(), window.closes.isoformat()] if window else None,
        "forecast": forecast_values(forecast_of(her, now)),
        "lay_box": her.has_lay_box,
        "lay_box_since": moment(box.at, house) if box else None,
        "last_egg_check": moment(check.at, house) if check else None,
        "signs": list(check.present) if check else [],
    }


#: Member of a reading, its rule, its words and unit.
_BANDS: Final = (
    ("basking_c", "climate.basking_c", "basking spot", "°C"),
    ("cool_c", "climate.cool_c", "cool end", "°C"),
    ("uv_index", "climate.uv_index", "UV index", ""),
)


def out_of_range(reading: ClimateRead, house: House, *, holds_eggs: bool) -> list[str]:
    """What of a reading lies outside the house's bands, each with the band."""
    found: list[str] = []
    for member, key, words, unit in _BANDS:
        value = getattr(reading, member)
        if value is None:
            continue
        least, most = house.band(key)
        if not least <= value <= most:
            found.append(f"{words} {value:g} {unit}".rstrip() + f" ({house.rule(key).shown()})")
    low = house.number("climate.night_low_c")
    if reading.night_low_c is not None and reading.night_low_c < low:
        found.append(f"night low {reading.night_low_c:g} °C (not under {low:g} °C)")
    if holds_eggs and reading.air_c is not None:
        least, most = house.band("climate.incubator_c")
        if not least <= reading.air_c <= most:
            found.append(f"incubator {reading.air_c:g} °C ({house.rule('climate.incubator_c').shown()})")
    return found


def _logged_out(stretch: ClimateLogged, house: House) -> str:
    """How far a logger's stretch went out of the band of eggs; empty where it did not."""
    least, most = house.band("climate.incubator_c")
    low, high = min(stretch.air_c, default=least), max(stretch.air_c, default=most)
    if least <= low and high <= most:
        return ""
    return f"incubator {low:g} to {high:g} °C ({house.rule('climate.incubator_c').shown()})"


def _out_of_range(standing: Standing, house: House, shift: Sequence[Entry]) -> Iterator[Values]:
    for entry in shift:
        if isinstance(entry, ClimateLogged):
            if not enclosure(standing, entry.about).holds_animals and (gone_out := _logged_out(entry, house)):
                yield {**_in_words(standing, entry), "out": [gone_out]}
        elif isinstance(entry, ClimateRead):
            eggs = entry.about != "room" and not enclosure(standing, entry.about).holds_animals
            outside = out_of_range(entry, house, holds_eggs=eggs)
            if outside:
                yield {**_in_words(standing, entry), "out": outside}
