"""A logger's file onto a shelf: what is new in it, thinned, a day an entry; nothing is written twice."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime
from itertools import pairwise
from pathlib import Path
from typing import Final

import msgspec

from rounds.desk.desk import Desk
from rounds.errors import BadEntry
from rounds.logbook.drafts import Draft
from rounds.logbook.entries import ClimateLogged
from rounds.logbook.logger_columns import Asked
from rounds.logbook.logger_file import LoggerFile, read_logger
from rounds.logbook.logger_table import MOST_BYTES
from rounds.logbook.thinning import Reading, thinned
from rounds.logbook.times import fixed
from rounds.paper.timeline import counting
from rounds.paper.words import many, span_words
from rounds.standing.shelf_readings import covered, is_covered

#: A pause of so many usual steps, and of an hour at least, begins another stretch.
_PAUSE: Final = 3
_PAUSE_SECONDS: Final = 3_600.0
#: A reading that differs by more from what was logged for its time is told.
_DIFFERS_C: Final = 0.25
_NAME: Final = 60
#: How the names of loggers' files end.
_ENDINGS: Final = frozenset((".csv", ".txt", ".tsv", ".dat", ".log"))


class Coming(msgspec.Struct, frozen=True, kw_only=True):
    """What a file would write; how many of its readings are new, logged already, or differ from that."""

    shelf: str
    file: LoggerFile
    drafts: tuple[Draft, ...]
    new: int
    kept: int
    known: int
    differ: int


def content_of(path: str) -> bytes:
    """The bytes of a file. Raises `BadEntry` in a sentence where it cannot be read."""
    given = Path(path.strip().strip("'\"")).expanduser()
    if not path.strip():
        raise BadEntry("Which file? Give the logger's file.")
    try:
        if not given.exists() and "\\ " in path:  # as a terminal writes a file that is dropped on it
            given = Path(path.strip().replace("\\ ", " ")).expanduser()
        if given.is_dir():
            raise BadEntry(f"{path} is a folder: give a file in it.")
        if not given.is_file() and given.exists():  # a pipe that no one writes to is waited for without end
            raise BadEntry(f"{path} is no file that was saved: for what another program writes, give -.")
        with given.open("rb") as file:  # may be growing: read no further than the bound
            content = file.read(MOST_BYTES + 1)
        if len(content) > MOST_BYTES:
            raise BadEntry(f"{path} is larger than {MOST_BYTES >> 20} MB: give the logger's own file, in parts.")
        return content
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else "no such file"
        raise BadEntry(f"{path} cannot be read: {reason}.") from error


def files_in(folder: str) -> list[str]:
    """The names of a folder's files that may be a logger's, the newest first; none where it cannot be read."""
    found: list[tuple[float, str]] = []
    try:
        for one in Path(folder).expanduser().iterdir():
            if one.suffix.casefold() in _ENDINGS and one.is_file():
                found.append((one.stat().st_mtime, one.name))
    except (OSError, ValueError, RuntimeError):
        return []
    return [path for _, path in sorted(found, reverse=True)]


def coming_of(desk: Desk, shelf: str, content: bytes, name: str, asked: Asked) -> Coming:
    """What a logger's file brings for a shelf. Raises `BadEntry`; writes nothing."""
    card = desk.standing.card(shelf)
    if not shelf.startswith("enclosure/") or not card.here:
        raise BadEntry(
            f"{desk.standing.name(shelf)} is no enclosure that stands: name the shelf the logger lay on."
        )
    zone, now = desk.settings.zone, desk.clock_time()
    file = read_logger(content, zone, desk.settings.date_order, now, asked)
    logged = _logged(desk, shelf)
    spans = covered(logged)
    fresh: list[Reading] = []
    known: list[Reading] = []
    for one in file.readings:
        (known if is_covered(spans, one.at - one.at % 60) else fresh).append(one)
    stretches = [stretch for part in _parts(fresh, spans) for stretch in _days(part, desk)]
    drafts = [_draft(shelf, stretch, name, desk) for stretch in stretches]
    return Coming(
        shelf=shelf,
        file=file,
        drafts=tuple(drafts),
        new=len(fresh),
        kept=sum(len(draft.fields["minutes"]) for draft in drafts),
        known=len(known),
        differ=_differing(known, logged),
    )


def _logged(desk: Desk, shelf: str) -> list[ClimateLogged]:
    page = desk.standing.page(shelf)
    if ClimateLogged not in page.floors and not page.crowded:
        return [one for one in page.of(ClimateLogged) if one.about == shelf]
    return [one for one in counting(desk.history(shelf)) if isinstance(one, ClimateLogged) and one.about == shelf]


def _parts(fresh: Sequence[Reading], spans: Sequence[tuple[float, float]]) -> Iterable[list[Reading]]:
    """New readings in stretches: a pause, or a time that was logged already, begins another."""
    steps = sorted(two.at - one.at for one, two in pairwise(fresh))
    pause = max(_PAUSE_SECONDS, _PAUSE * steps[len(steps) // 2]) if steps else _PAUSE_SECONDS
    begins = [begun for begun, _ in spans]
    part: list[Reading] = []
    place = 0
    for one in fresh:
        while place < len(begins) and begins[place] < one.at:
            place += 1
            if part:
                yield part
                part = []
        if part and one.at - part[-1].at > pause:
            yield part
            part = []
        part.append(one)
    if part:
        yield part


def _days(part: Sequence[Reading], desk: Desk) -> Iterable[list[Reading]]:
    """A stretch by the room's days; where the humidity ends or begins, another begins."""
    day: tuple[date, bool] | None = None
    found: list[Reading] = []
    zone = desk.settings.zone
    for one in _damp(part):
        its = datetime.fromtimestamp(one.at, UTC).astimezone(zone).date(), one.humidity is None
        if its != day and found:
            yield found
            found = []
        day = its
        found.append(one)
    if found:
        yield found


def _draft(shelf: str, stretch: Sequence[Reading], name: str, desk: Desk) -> Draft:
    begun = stretch[0].at - stretch[0].at % 60
    kept = thinned(_a_minute(stretch))
    damp = [one.humidity for one in kept]
    fields = {
        "minutes": tuple(int((one.at - begun) // 60) for one in kept),
        "air_c": tuple(one.air_c for one in kept),
        "logger": name[:_NAME],
    }
    if all(one is not None for one in damp):
        fields["humidity"] = tuple(damp)
    return Draft(ClimateLogged, shelf, fields, fixed(datetime.fromtimestamp(begun, UTC), desk.settings.zone))


def _damp(stretch: Sequence[Reading]) -> list[Reading]:
    """The readings, a missing humidity taken from the line between its neighbours within the hour."""
    known = [one for one in stretch if one.humidity is not None]
    if not known or len(known) == len(stretch):
        return list(stretch)
    times = [one.at for one in known]
    found: list[Reading] = []
    for one in stretch:
        damp = one.humidity
        if damp is None:
            place = bisect_left(times, one.at)
            near = [
                (two.at, two.humidity)
                for two in known[max(0, place - 1) : place + 1]
                if two.humidity is not None and abs(two.at - one.at) <= _PAUSE_SECONDS
            ]
            if near:
                (begun, low), (ended, high) = near[0], near[-1]
                part = (one.at - begun) / (ended - begun) if ended > begun else 0.0
                damp = round(low + (high - low) * part, 1)
        found.append(one._replace(humidity=damp))
    return found


def _a_minute(stretch: Sequence[Reading]) -> list[Reading]:
    """The readings, of each minute no more than the lowest and the highest."""
    found: list[Reading] = []
    minute: list[Reading] = []
    for one in [*stretch, None]:
        if minute and (one is None or one.at // 60 != minute[0].at // 60):
            low, high = min(minute, key=lambda read: read.air_c), max(minute, key=lambda read: read.air_c)
            found += sorted({low.at: low, high.at: high}.values(), key=lambda read: read.at)
            minute = []
        if one is not None:
            minute.append(one)
    return found


def _differing(known: Sequence[Reading], logged: Sequence[ClimateLogged]) -> int:
    """How many readings are not what was logged for their time, between the readings kept."""
    points = sorted((at, air) for entry in logged for at, air, _ in entry.readings())
    found = place = 0
    for one in known:
        at = one.at - one.at % 60
        while place + 1 < len(points) and points[place + 1][0] <= at:
            place += 1
        begun, ended = points[place], points[min(place + 1, len(points) - 1)]
        span = ended[0] - begun[0]
        line = begun[1] + (ended[1] - begun[1]) * ((at - begun[0]) / span if span else 0.0)
        near = (begun[1], ended[1]) if span and at - begun[0] < 60 else (line,)
        found += min(abs(one.air_c - value) for value in (line, *near)) > _DIFFERS_C
    return found


def told_of(desk: Desk, coming: Coming) -> list[str]:
    """What is said of a file that was read, in sentences: what is new, what was known, what was not read."""
    name, file = desk.standing.name(coming.shelf), coming.file
    lines = []
    if coming.new:
        first, last = coming.drafts[0], coming.drafts[-1]
        assert first.at is not None
        assert last.at is not None
        low = min(min(one.fields["air_c"]) for one in coming.drafts)
        high = max(max(one.fields["air_c"]) for one in coming.drafts)
        days = span_words(first.at, last.at, desk.clock_time())
        lines.append(f"{name}: {many(coming.new, 'new reading')}, {days}, {low:g} to {high:g} °C ({file.column}).")
    else:
        lines.append(f"{name}: nothing new in this file.")
    if coming.known:
        lines.append(
            f"{coming.known} readings lie in times that were logged already, and were left out."
            if coming.known > 1
            else "1 reading lies in a time that was logged already, and was left out."
        )
    if coming.differ:
        lines.append(f"{coming.differ} of them differ from what was logged: another logger, or another shelf?")
    return [*lines, *file.told]
