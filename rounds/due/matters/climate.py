"""Warmth and light: readings out of range, readings that are missing, and lamps that are due."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import UTC, date, datetime
from typing import Final

import msgspec

from rounds.due import climate as care
from rounds.due.climate import holds_eggs
from rounds.due.matter import Level, Matter
from rounds.due.matters.look import Look, cites, needs
from rounds.due.matters.wording import day, listed, many
from rounds.logbook.entries import ROOM, ClimateLogged, ClimateRead, Entry
from rounds.logbook.times import fixed
from rounds.standing.animal import Animal


class Span(msgspec.Struct, frozen=True):
    """A reading that is judged: which member of the entry, what it is called, and its house rule."""

    member: str
    words: str
    key: str
    unit: str


#: So many enclosures are named; the others are counted.
_NAMED: Final = 5
_FOR_EGGS: Final = ("incubator shelf", "egg box")
_BASKING: Final[tuple[Span, ...]] = (
    Span("basking_c", "basking spot", "climate.basking_c", "°C"),
    Span("cool_c", "cool end", "climate.cool_c", "°C"),
    Span("night_low_c", "night", "climate.night_low_c", "°C"),
    Span("uv_index", "UV index", "climate.uv_index", ""),
)
_NEST: Final[tuple[Span, ...]] = (Span("air_c", "nest", "eggbinding.nest_c", "°C"),)
_INCUBATOR: Final[tuple[Span, ...]] = (Span("air_c", "incubator", "climate.incubator_c", "°C"),)


class Out(msgspec.Struct, frozen=True):
    """A reading out of its band: in what words, the band, since when, the last one, and whether it is far out."""

    says: str
    band: str
    since: datetime
    last: Entry
    far: bool
    key: str


@cites(
    "climate.basking_c",
    "climate.cool_c",
    "climate.night_low_c",
    "climate.uv_index",
    "climate.incubator_c",
    "climate.incubator_alarm_c",
    "eggbinding.nest_c",
    "climate.margin_c",
)
@needs(ClimateRead, ClimateLogged)
def climate_out_of_range(look: Look) -> Iterator[Matter]:
    """The last reading of an enclosure is outside its band.

    Watch; today when a temperature is outside by more than the margin of the house, when the UV index is
    above its band, and when an incubator is above 32 °C, where sex reverses (Quinn et al. 2007; Holleley et
    al. 2015). A reading stands until the next one, by hand or by a logger. Not asked while all who live there
    brumate, nor of a shelf without eggs.
    """
    tub = look.enclosure
    living = _living(look)
    if tub.what in _FOR_EGGS:
        spans = _INCUBATOR if holds_eggs(tub) else ()
    elif not living:
        return
    elif tub.what == "lay box":
        spans = _NEST
    else:
        spans = () if all(one.brumating_since for one in living) else _BASKING
    found = [
        out
        for span in spans
        if (out := _shelf_out(look, span) if spans is _INCUBATOR else _out(look, span)) is not None
    ]
    if not found:
        return
    hot = "climate.incubator_alarm_c" if spans is _INCUBATOR else None
    steps: tuple[str, ...]
    if spans is _BASKING:
        steps = (
            "Check the lamp, its height and the thermostat; put it right and read again in an hour.",
            "Too warm: make sure the cool end is cool. Too cold: feed no one until it is warm.",
        )
    elif spans is _NEST:
        steps = ("Warm or shade the nest from the side, without disturbing her; read again in an hour.",)
    else:
        steps = ("Check thermostat and probe against a second thermometer; read again in an hour.",)
    yield look.matter(
        climate_out_of_range,
        Level.TODAY if any(out.far for out in found) else Level.WATCH,
        f"{tub.name}: {found[0].says} ({found[0].band})."
        if len(found) == 1
        else f"{tub.name}: {listed(out.says for out in found)}.",
        since=min(out.since for out in found),
        entries=tuple({out.last.id: out.last for out in found}.values()),
        do=steps,
        worsens="with every hour that it stays so"
        if any(out.far for out in found)
        else f"above {look.house.number(hot):g} °C: today"
        if hot
        else f"outside by more than {look.house.number('climate.margin_c'):g} °C: today",
        acts=("climate", "lamp") if spans is _BASKING else ("climate",),
        house=(*(out.key for out in found), "climate.margin_c", *((hot,) if hot else ())),
    )


def _out(look: Look, span: Span) -> Out | None:
    """Whether the last reading of this sort is out of its band, and since when without a break."""
    low, high = _band(look, span.key)
    run: list[ClimateRead] = []
    value = 0.0
    for entry in reversed(look.enclosure.climate):
        reading = getattr(entry, span.member)
        if reading is None:
            continue
        if low <= reading <= high:
            break
        value = value if run else reading
        run.append(entry)
    if not run:
        return None
    margin = look.house.number("climate.margin_c")
    far = value > high if span.member == "uv_index" else value < low - margin or value > high + margin
    cold, hot = ("too low", "too high") if span.member == "uv_index" else ("too cold", "too hot")
    limit = f"{low:g} or more" if high == float("inf") else f"{low:g}–{high:g}"
    says = f"{span.words} {cold if value < low else hot}, {value:g} {span.unit}".rstrip()
    return Out(says, limit, run[-1].at, run[0], far, span.key)


def _shelf_out(look: Look, span: Span) -> Out | None:
    """The same of a shelf or an egg box with eggs: by its readings by hand and by a logger as one series."""
    from rounds.due.incubation import limits_of  # late: no start has to wait for it
    from rounds.standing.shelf_readings import series  # late: no start has to wait for it

    low, high = _band(look, span.key)
    readings = series(look.standing, look.subject, limits_of(look.house)).upto(look.now.timestamp())
    begun = None
    for one in reversed(readings):
        if low <= one.air_c <= high:
            break
        begun = one
    if begun is None:
        return None
    last = readings[-1]
    far = last.air_c > look.house.number("climate.incubator_alarm_c") or last.air_c < low - look.house.number(
        "climate.margin_c"
    )
    cold = last.air_c < low
    says = f"{span.words} too {'cold' if cold else 'hot'}, {last.air_c:g} {span.unit}"
    since = fixed(datetime.fromtimestamp(begun.at, UTC), look.house.zone)
    return Out(says, f"{low:g}–{high:g}", since, last.entry, far, span.key)


def _band(look: Look, key: str) -> tuple[float, float]:
    if key == "climate.night_low_c":
        return look.house.number(key), float("inf")
    return look.house.band(key)


def _living(look: Look) -> list[Animal]:
    return [one.animal for who in look.enclosure.living if (one := look.at(who)).animal.here]


@cites("climate.read_days", "climate.read_hatchlings_days", "climate.read_eggs_days", "climate.not_read_days")
def climate_not_read(look: Look) -> Iterator[Matter]:
    """The climate of enclosures was not read for days.

    Today, of each enclosure where eggs incubate. Watch of all the others together, as one matter of the
    room: at each stop the due line says it already. What was never read counts from the day its animals or
    eggs came.
    """
    limit = look.house.days("climate.not_read_days")
    if look.subject != ROOM:
        if look.reckoning.whole:
            _for_room(look)
        late = _unread(look, limit) if look.enclosure.what in _FOR_EGGS else None
        if late is not None:
            yield look.matter(
                climate_not_read,
                Level.TODAY,
                f"{look.name}: temperature of the eggs not read since {day(late.from_day)}.",
                since=look.midnight(late.due),
                entries=late.entries,
                do=("Read it off and write it down.",),
                worsens="no one notices eggs that are too warm or too cold",
                acts=("climate",),
                house=("climate.read_eggs_days", "climate.not_read_days"),
            )
        return
    found = [late for one in _enclosures(look) if (late := _for_room(one)[0]) is not None]
    if not found:
        return
    found.sort(key=lambda late: (late.due, late.name))
    yield look.matter(
        climate_not_read,
        Level.WATCH,
        f"Climate not read in {many(len(found), 'enclosure')}: {_names(late.name for late in found)}.",
        since=look.midnight(found[0].due),
        entries=tuple(entry for late in found[:_NAMED] for entry in late.entries),
        do=("Read both ends where animals bask, on the next walk, and write it down.",),
        worsens="what no one reads no one can put right",
        acts=("note",),
        house=(*dict.fromkeys(late.key for late in found), "climate.not_read_days"),
    )


def _enclosures(look: Look) -> Iterator[Look]:
    """Every enclosure that stands."""
    for subject in look.standing.subjects("enclosure"):
        if look.standing.card(subject).here:
            yield look.at(subject)


def _for_room(look: Look) -> tuple[Unread | None, care.Lamp | None]:
    """What the matters of the room say of an enclosure: that its climate was not read, and that its lamp is due."""
    kept = look.reckoning.of_enclosures
    found: tuple[Unread | None, care.Lamp | None] | None = kept.get(look.subject)
    if found is None:
        limit = look.house.days("climate.not_read_days")
        unread = None if look.enclosure.what in _FOR_EGGS else _unread(look, limit)
        found = kept[look.subject] = (unread, care.lamp_due(look.round, look.enclosure, _living(look)))
    return found


def _names(names: Iterable[str]) -> str:
    """The first names, and how many more there are."""
    every = list(names)
    more = [many(len(every) - _NAMED, "other")] if len(every) > _NAMED else []
    return listed([*every[:_NAMED], *more])


class Unread(msgspec.Struct, frozen=True):
    """A reading that is late: where, since when, by which rule, and the day from which it was not read."""

    name: str
    due: date
    key: str
    from_day: date
    entries: tuple[Entry, ...]


def _unread(look: Look, limit: int) -> Unread | None:
    tub = look.enclosure
    reading = care.reading_due(look.round, tub, _living(look))
    if reading is None:
        return None
    due, from_day = reading.due, reading.last or reading.opened or reading.due
    if reading.last is None and reading.opened is not None:
        # What was never read is due every day and late on none: here its first turn counts.
        every = look.house.rule(reading.key).value
        due = look.round.later(reading.opened, int(every) if isinstance(every, int | float) else 7)
    if look.round.late(due) < limit:
        return None
    behind: list[Entry] = [*(tub.climate[-1:] if reading.last else ())]
    if not behind and tub.what in _FOR_EGGS:
        behind.extend(care.eggs_here(tub)[:1])
    if not behind and tub.set_up:
        behind.append(tub.set_up)
    return Unread(look.name, due, reading.key, from_day, tuple(behind))


@cites("climate.lamp_months", "climate.lamp_metered_months", "climate.uv_read_days", "climate.uv_index")
def lamp_due(look: Look) -> Iterator[Matter]:
    """UV lamps are due for a change, or for a reading that finds them good.

    Watch, one matter for the whole room: at each stop the due line says it already. A lamp whose change was
    never noted is as old as its enclosure.
    """
    found: list[tuple[care.Lamp, Look]] = []
    for one in _enclosures(look):
        lamp = _for_room(one)[1]
        if lamp is not None:
            found.append((lamp, one))
    if not found:
        return
    found.sort(key=lambda due: (due[0].since, due[1].name))
    behind = [one.enclosure.lamp or one.enclosure.set_up for _, one in found[:_NAMED]]
    yield look.matter(
        lamp_due,
        Level.WATCH,
        f"UV lamp due in {_names(one.name for _, one in found)}.",
        since=look.midnight(found[0][0].since),
        entries=tuple(entry for entry in behind if entry is not None),
        do=("Read the UV index at the basking spot, or change the lamp and write it down.",),
        worsens="the light looks the same while its UV fades",
        acts=("note",),
        house=(*dict.fromkeys(lamp.key for lamp, _ in found), "climate.uv_read_days"),
    )
