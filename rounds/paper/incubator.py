"""The incubator: each shelf with its temperatures, and the clutches on it with the days they will hatch."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime
from typing import Final

from rounds.due.hatching import hatch_forecast
from rounds.due.incubation import drift, limits_of, may_lie
from rounds.logbook.entries import ClimateLogged
from rounds.logbook.times import fixed
from rounds.paper.hatching import hatch_values, hatch_words, hours_words, rounded
from rounds.paper.page import Page
from rounds.paper.temperatures import drawn, thinned_to
from rounds.paper.values import Values, moment, when
from rounds.rules.house import House
from rounds.rules.settings import Settings
from rounds.standing.as_of import as_of
from rounds.standing.clutch import Clutch
from rounds.standing.degree_days import dew_point
from rounds.standing.egg_boxes import boxes_at, boxes_on
from rounds.standing.enclosure import enclosure, walking_order
from rounds.standing.fold import Standing
from rounds.standing.incubator import DAY, Series
from rounds.standing.shelf_readings import has_own, series
from rounds.standing.shelves import Lying, eggs_on, shelf_of

#: Without eggs a shelf shows its last so many days; with them the days since the oldest were laid, these at least.
_LEAST_DAYS: Final = 14
#: Temperatures drawn: so many cells over that time.
CELLS: Final = 56
_SHELF: Final = "incubator shelf"


def incubator(standing: Standing, settings: Settings, now: datetime) -> Values:
    """Every shelf, and each clutch that lies on none, as values ready for JSON. Temperatures in °C."""
    standing, house = as_of(standing, now), settings.house
    clutches = _open_clutches(standing, house, now)
    shelves = _shelves(standing, settings.walking_order, clutches)
    on_shelves = {one.clutch.subject for shelf in shelves for one in eggs_on(standing, shelf)}
    elsewhere = [one for one in clutches if one.subject not in on_shelves]
    return {
        "colony": settings.name,
        **scale(house, now),
        "shelves": [shelf_values(standing, house, now, shelf) for shelf in shelves],
        "elsewhere": [_clutch_values(standing, house, now, one, one.place) for one in elsewhere],
    }


def scale(house: House, now: datetime) -> Values:
    """What shelves are read against: the moment, the band, the alarm."""
    return {
        "now": moment(now, house),
        "band_c": list(house.band("climate.incubator_c")),
        "alarm_c": house.number("climate.incubator_alarm_c"),
    }


def _open_clutches(standing: Standing, house: House, now: datetime) -> list[Clutch]:
    """Clutches with eggs still to hatch, by id."""
    return [one for one in may_lie(standing, house, now) if _is_open(one, now, house)]


def _shelves(standing: Standing, order: Sequence[str], clutches: Sequence[Clutch]) -> list[str]:
    """The shelves of the incubator, and every other place with eggs that stands on none, as the room is walked."""
    places = {shelf_of(standing, box.place) for one in clutches for box in one.in_boxes.boxes if box.place}
    return [
        subject
        for subject in walking_order(standing, order)
        if standing.card(subject).what == _SHELF or (subject in places and eggs_on(standing, subject))
    ]


def _is_open(one: Clutch, now: datetime, house: House) -> bool:
    """Whether eggs of a clutch are still to hatch, and not given up long ago."""
    if one.begun_at is None or (now - one.begun_at).days > 2 * house.days("breeding.longest_incubation_days"):
        return False
    return one.left_to_hatch > 0 if one.boxed is not None else one.unboxed > 0


def shelf_values(standing: Standing, house: House, now: datetime, shelf: str) -> Values:
    """One shelf: what was read last, by whom, what adds up since its oldest eggs were laid, its boxes.

    `in_boxes` has the same of each egg box on it inside which anything was read. Of an egg box: of that box.
    """
    one, lying = enclosure(standing, shelf), eggs_on(standing, shelf)
    boxes = boxes_on(standing, shelf, house.egg_figures)
    return {
        "shelf": shelf,
        "name": one.name,
        "what": one.what,
        "where": one.set_up.where if one.set_up else "",
        **_read_values(standing, house, now, shelf, lying),
        "in_boxes": [
            {
                "box": box.place,
                "name": box.name,
                **_read_values(standing, house, now, box.place, eggs_on(standing, box.place)),
            }
            for box in boxes
            if box.place != shelf and has_own(standing, box.place)
        ],
        "clutches": [
            _clutch_values(standing, house, now, eggs.clutch, eggs.place) for eggs in _by_box(standing, lying)
        ],
        "empty_boxes": [box.name for box in boxes if not box.clutches and box.place != shelf],
    }


def _read_values(standing: Standing, house: House, now: datetime, place: str, lying: Sequence[Lying]) -> Values:
    """What was read on a shelf, or inside an egg box: now, the sums since the eggs there were laid, drawn."""
    readings = series(standing, place, limits_of(house))
    at = now.timestamp()
    laid = [eggs.clutch.begun_at.timestamp() for eggs in lying if eggs.clutch.begun_at is not None]
    oldest = min(laid, default=at - _LEAST_DAYS * DAY)
    since = min(max(oldest, at - 200 * DAY), at - _LEAST_DAYS * DAY)
    counted = max(oldest, readings.times[0]) if readings.times else at
    last = readings.last(at)
    sums = readings.sums(counted, min(at, last.at)) if last is not None else None
    soon = drift(readings, house, at) if lying else None
    damp = last.humidity if last is not None else None
    return {
        "now_c": round(last.air_c, 1) if last is not None else None,
        "humidity": damp,
        "dew_point_c": rounded(dew_point(last.air_c, damp)) if last is not None and damp is not None else None,
        "read_at": _moment(last.at, house) if last is not None else None,
        "read_by": last.entry.by if last is not None else "",
        "logger": last is not None and isinstance(last.entry, ClimateLogged),
        "since": _moment(counted, house) if last is not None else None,
        "hot_hours": round(sums.hot_hours, 1) if sums is not None else 0.0,
        "cold_hours": round(sums.cold_hours, 1) if sums is not None else 0.0,
        "hours_without_readings": round(sums.bridged_hours, 1) if sums is not None else None,
        "drift_c_a_day": rounded(soon.a_day) if soon is not None else None,
        "days": _days(readings, max(since, at - _LEAST_DAYS * DAY), at, house),
        "drawn_from": _moment(since, house),
        "drawn_c": _cells(readings, since, at),
    }


def _by_box(standing: Standing, lying: Sequence[Lying]) -> list[Lying]:
    return sorted(lying, key=lambda one: (standing.name(one.place), one.clutch.subject))


def _clutch_values(standing: Standing, house: House, now: datetime, eggs: Clutch, place: str | None) -> Values:
    found = hatch_forecast(standing, house, now, eggs.subject, place)
    put = sum(boxed.count for boxed in eggs.in_boxes.boxes if boxed.place == place)
    boxes = boxes_at(standing, place, house.egg_figures) if place is not None else ()
    box = next((one for one in boxes if one.of_clutch in (None, eggs.subject)), None)
    last = box.last if box is not None else None
    return {
        "clutch": eggs.subject,
        "name": eggs.called,
        "dam": eggs.dam,
        "dam_name": standing.name(eggs.dam) if eggs.dam else "",
        "place": place,
        "place_name": standing.name(place) if place else "",
        "eggs": eggs.left_in(place) if eggs.boxed is not None else eggs.unboxed,
        "boxed": put,
        "left_to_hatch": eggs.left_to_hatch,
        "grams": rounded(box.expected) if box is not None and last is not None else None,
        "reckoned": box is not None and last is not None and abs(box.moved_since(last)) >= 0.5,
        "weighed_grams": rounded(last.grams) if last is not None else None,
        "top_up_grams": rounded(box.top_up) if box is not None and box.top_up is not None else None,
        **hatch_values(found, house),
    }


def _days(readings: Series, begun: float, ended: float, house: House) -> list[Values]:
    """Lowest, highest and mean of each of the room's days that has readings."""
    by_day: dict[date, list[float]] = {}
    for point in readings.between(begun, ended):
        by_day.setdefault(fixed(datetime.fromtimestamp(point.at, UTC), house.zone).date(), []).append(point.air_c)
    return [
        {
            "day": day.isoformat(),
            "low_c": round(min(read), 1),
            "high_c": round(max(read), 1),
            "readings": len(read),
        }
        for day, read in by_day.items()
    ]


def _cells(readings: Series, begun: float, ended: float) -> list[float | None]:
    """The temperature in each of `CELLS` parts of a time: the reading furthest from the middle of the band."""
    step = (ended - begun) / CELLS
    middle = readings.limits.usual_c
    found: list[float | None] = []
    for cell in range(CELLS):
        low, high = begun + cell * step, begun + (cell + 1) * step
        read = [point.air_c for point in readings.between(low, high)]
        if not read and (between := readings.air_at((low + high) / 2)) is not None:
            read = [between]
        found.append(round(_furthest(read, middle), 1) if read else None)
    return found


def _furthest(read: Sequence[float], middle: float) -> float:
    return max(read, key=lambda one: abs(one - middle))


def _moment(at: float, house: House) -> str | None:
    try:
        return moment(datetime.fromtimestamp(at, UTC), house)
    except (OverflowError, ValueError, OSError):
        return None


# The text


def incubator_text(found: Values, now: datetime, *, plain: bool = False) -> str:
    """The incubator as 80 columns of text; `plain` draws without blocks."""
    page = Page()
    page.title(f"{found['colony']}   incubator", f"{now:%a} {now.day} {now:%b %Y %H:%M}")
    if not found["shelves"] and not found["elsewhere"]:
        page.text("No shelf is set up and no eggs are to hatch.")
        page.text('To set one up: rounds log enclosure_set_up S1 what="incubator shelf" --by INITIALS')
    for shelf in found["shelves"]:
        page.blank()
        for part in shelf_head(shelf, found, now):
            page.text(part)
        for row in drawing(shelf, found, 60, plain=plain):
            page.lines.append(f" {row}".rstrip())
        for box in shelf["in_boxes"]:
            for part in box_head(box, found, now):
                page.text(part)
            for row in drawing(box, found, 60, plain=plain):
                page.lines.append(f" {row}".rstrip())
        _clutch_table(page, shelf["clutches"], now)
        if shelf["empty_boxes"]:
            page.text(", ".join(shelf["empty_boxes"]), " empty: ")
    if found["elsewhere"]:
        page.heading("On no shelf")
        _clutch_table(page, found["elsewhere"], now)
    return str(page)


def _clutch_table(page: Page, clutches: Sequence[Values], now: datetime) -> None:
    if clutches:
        rows = [("box", "clutch", "eggs", "day", "hatches", "weight"), *(clutch_row(one, now) for one in clutches)]
        page.table(rows, (10, 22, 6, 4, 18), lead=" ")


def shelf_head(shelf: Values, found: Values, now: datetime) -> list[str]:
    """How a shelf stands, in two lines: now, band, read when by whom; hours hot and cold, what is coming."""
    low, high = found["band_c"]
    band = f"{low:g} to {high:g}"
    if shelf["now_c"] is None:
        return [f"{shelf['name']}   never read   {band} °C"]
    by = f"{shelf['read_by']}{', logger' if shelf['logger'] else ''}"
    state = _state(shelf, found)
    read = f"read {when(shelf['read_at'], now)} {by}"
    first = f"{shelf['name']}   {shelf['now_c']:.1f} °C{state}   band {band}   {read}"
    hours = [
        f"above {found['alarm_c']:g} °C: {hours_words(shelf['hot_hours'])}",
        f"below {low:g} °C: {hours_words(shelf['cold_hours'])}",
    ]
    if shelf["humidity"] is not None:
        dew = f", dew point {shelf['dew_point_c']:.1f} °C" if shelf["dew_point_c"] is not None else ""
        hours.append(f"{shelf['humidity']:.0f} % humidity{dew}")
    if shelf["hours_without_readings"]:
        hours.append(f"no readings: {hours_words(shelf['hours_without_readings'])}")
    if shelf["drift_c_a_day"] is not None:
        way = "warmer" if shelf["drift_c_a_day"] > 0 else "colder"
        hours.append(f"getting {way}, {abs(shelf['drift_c_a_day']):.1f} °C a day")
    return [first, "   ".join(hours)]


def box_head(box: Values, found: Values, now: datetime) -> list[str]:
    """How it stands inside an egg box, in two lines, as `shelf_head` says it of a shelf; nothing never read."""
    return shelf_head({**box, "name": f"inside {box['name']}"}, found, now) if box["now_c"] is not None else []


def box_line(box: Values, found: Values, now: datetime) -> str:
    """The same in one line: `inside K1   30.1 °C   read 06:40 EM, logger   above 32 °C: 2 h`."""
    (first, _) = box_head(box, found, now) or ("", "")
    hot = f"   above {found['alarm_c']:g} °C: {hours_words(box['hot_hours'])}" if box["hot_hours"] else ""
    low, high = found["band_c"]
    return first.replace(f"   band {low:g} to {high:g}", "") + hot


def out_of_band(read: Values, found: Values) -> bool:
    """Whether a shelf or the inside of an egg box is out of the band now."""
    low, high = found["band_c"]
    return read["now_c"] is not None and not low <= read["now_c"] <= high


def _state(shelf: Values, found: Values) -> str:
    low, high = found["band_c"]
    value = shelf["now_c"]
    return (
        " TOO HOT"
        if value > found["alarm_c"]
        else " too warm"
        if value > high
        else " too cold"
        if value < low
        else ""
    )


def drawing(shelf: Values, found: Values, width: int, *, rows: int = 3, plain: bool = False) -> list[str]:
    """The shelf's temperatures in at most so many columns, with the days under them; empty without readings."""
    low, high = found["band_c"]
    columns = max(8, min(CELLS, width - 7))
    lines = drawn(thinned_to(shelf["drawn_c"], columns, (low + high) / 2), low, high, rows=rows, plain=plain)
    if not lines or shelf["drawn_from"] is None:
        return lines
    begun, ended = datetime.fromisoformat(shelf["drawn_from"]), datetime.fromisoformat(found["now"])
    left, right = f"{begun.day} {begun:%b}", f"{ended.day} {ended:%b}"
    return [*lines, " " * 7 + left + right.rjust(max(len(right) + 1, columns - len(left)))]


def clutch_row(one: Values, now: datetime) -> tuple[str, ...]:
    """A clutch in a table: box, clutch, eggs, day, hatches, weight and what to top up."""
    eggs = "?" if one["eggs"] is None else f"{one['eggs']}"
    if one["boxed"]:
        eggs += f"/{one['boxed']}"
    about = "about " if one["reckoned"] else ""
    weight = [f"{about}{one['grams']:.0f} g" if one["grams"] is not None else ""]
    weight += [f"top up {one['top_up_grams']:.0f} g" if one["top_up_grams"] else ""]
    return (
        one["place_name"] or "not boxed",
        one["name"],
        eggs,
        "" if one["day"] is None else f"{one['day']}",
        hatch_words(one, now),
        "  ".join(part for part in weight if part),
    )
