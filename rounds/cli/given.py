"""What was given to `rounds log`: its lines before anything is filled in, and how their slips are reported."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import suppress
from datetime import date
from math import isfinite
from typing import Any, Final, NamedTuple

import msgspec

from rounds.errors import BadEntry
from rounds.logbook import rows
from rounds.logbook.entries import KINDS, AppointmentEnded, Entry
from rounds.logbook.members import members
from rounds.logbook.times import DateOrder
from rounds.logbook.warmth import figure_in
from rounds.logbook.written_figures import SUMS, of_money, thousands_or_decimals
from rounds.logbook.written_times import read_day
from rounds.paper.plain_text import shown

_MOST_TOLD: Final = 20
#: The end of the name of a member, or of a text with a colon behind it.
_NAMES: Final = re.compile(rb'"\s*:')
#: A figure with a comma in it, or a letter behind it.
_ODD: Final = re.compile(r"\d\s*[,°cCfF]")
_ISO_DAY: Final = re.compile(r"\d{4}-\d{2}-\d{2}")
#: Days that lie behind, where no year is written; all others lie ahead.
_BEHIND: Final = frozenset({"hatched", "day"})
_MEMBER: Final = re.compile(r"\w+, (\w+)")


class Line(NamedTuple):
    """One entry as it was given: its line (0: from words), and its members before anything is filled in."""

    number: int
    members: dict[str, Any]
    lenient: bool = False

    def where(self) -> str:
        """How an error names it."""
        return f"line {self.number}: " if self.number else ""


def json_lines(content: bytes, first: int = 1) -> Iterator[Line]:
    """The JSON objects of lines, counted from `first` on; empty lines count but say nothing. Raises `BadEntry`."""
    errors: list[str] = []
    for number, raw in enumerate(content.removeprefix(b"\xef\xbb\xbf").split(b"\n"), first):
        line = raw.strip()
        if not line:
            continue
        try:
            found = msgspec.json.decode(line)
            if not isinstance(found, dict):
                raise BadEntry('it is no JSON object: write {"kind": "weighed", "about": "animal/wattle", …}')
            _refuse_doubled(line, found)
            if "crc" in found and not rows.is_whole(line):
                raise BadEntry("it was copied from a sheet and changed: its check does not agree. Leave “crc” away")
            yield Line(number, {name: value for name, value in found.items() if name not in rows.ENVELOPE})
        except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as error:
            errors.append(f"line {number}: it is no JSON ({error})")
        except BadEntry as error:
            errors.append(f"line {number}: {error}")
    if errors:
        raise BadEntry(told(errors))


def _refuse_doubled(line: bytes, found: dict[str, Any]) -> None:
    """Raise `BadEntry` where a member stands twice: the decoder keeps the last one and says nothing."""
    if len(_NAMES.findall(line)) == len(found):
        return
    import json  # only lines with texts that look like members come here

    def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        members = dict(pairs)
        if len(members) != len(pairs):
            names = [name for name, _ in pairs]
            twice = next(name for place, name in enumerate(names) if name in names[:place])
            raise BadEntry(f"“{shown(twice)[:60]}” stands in it twice: leave one of them away")
        return members

    with suppress(ValueError):
        json.loads(line, object_pairs_hook=once)


def no_kind(kind: object) -> str:
    """Why a line is of no kind."""
    from difflib import get_close_matches

    if kind is not None and not isinstance(kind, str):
        return 'its kind is no word: write "kind": "weighed"; docs/entries.md lists them'
    if not kind:
        return "it has no kind; docs/entries.md lists them"
    near = get_close_matches(kind, KINDS, n=2, cutoff=0.6)
    told = f" Did you mean {' or '.join(near)}?" if near else ""
    return f"“{shown(kind)[:60]}” is no entry kind; docs/entries.md lists them.{told}"


def shared_out(members: dict[str, Any]) -> None:
    """The mean of one of a group: `total` (g, of all) and `number` become `grams`. Raises `BadEntry`."""
    if members.get("kind") != "weighed" or "total" not in members:
        return
    if "grams" in members:
        raise BadEntry("total is the weight of all of them, grams the mean of one: write one of the two")
    if not str(members.get("about")).startswith("group/"):
        raise BadEntry("total is of young counted together; the weight of one is grams=…")
    total, number = _figure(members["total"]), _figure(members.get("number"))
    if number is None or number < 1 or number != int(number):
        raise BadEntry("how many were on the scale? Write total=43.2 number=18")
    if total is None or total <= 0:
        raise BadEntry(
            f"total is a weight in g, not “{shown(str(members['total']))[:60]}”: write total=43.2 number=18"
        )
    del members["total"]
    members["grams"] = round(total / number, 3)


def fill_figures(given: dict[str, Any], kind: type[Entry], currency: str) -> None:
    """Figures written with a comma, and temperatures in °F, become numbers, in °C; what is none stays as it was.

    `currency` is the colony's own. Raises `BadEntry` of `1,250`, which may be either; so may `1.250` of a price.
    """
    for name, value in given.items():
        if isinstance(value, str) and name in SUMS:
            own = given.get("currency")
            if either := of_money(value, own if isinstance(own, str) and own else currency):
                raise BadEntry(f"{given['kind']}, {name}: {either}")
        if isinstance(value, str) and _ODD.search(value):
            member = members(kind).get(name)
            if member is not None and member.sort == "figure" and not member.many:
                if either := thousands_or_decimals(value):
                    raise BadEntry(f"{given['kind']}, {name}: {either}")
                found = figure_in(value, member.unit)
                given[name] = value if found is None else found


def fill_days(given: dict[str, Any], kind: type[Entry], today: date, order: DateOrder) -> None:
    """Days as a keeper writes them (`12 dec`, `tomorrow`, `+2w`) become days; of a hatching a month or year too.

    Raises `BadEntry` of what is no day.
    """
    for name, value in tuple(given.items()):
        if not isinstance(value, str) or _ISO_DAY.fullmatch(value):
            continue
        member = members(kind).get(name)
        if member is None or member.sort != "day":
            continue
        read = read_day(value, today, order, "behind" if name in _BEHIND else "ahead", name)
        if name == "on" and kind is AppointmentEnded and read.yearless:
            # It was to be lately, or is called off before its day: the nearer of the two.
            before = read_day(value, today, order, "behind", name)
            read = min(before, read, key=lambda one: abs(one.day - today))
        if read.about:
            if f"{name}_about" not in members(kind):
                raise BadEntry(f"{name}: “{value[:60]}” needs its day, such as 2026-04-12")
            given.setdefault(f"{name}_about", "true")
        given[name] = read.day.isoformat()


def _figure(value: object) -> float | None:
    """A number as it was typed, or stands in JSON; None when it is none."""
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        return None
    try:
        found = float(value.strip().replace(",", ".") if isinstance(value, str) else value)
    except (ValueError, OverflowError):
        return None
    return found if isfinite(found) else None


#: The types of JSON in a keeper's words.
_TYPES: Final = {
    "`str`": "text",
    "`float`": "a number",
    "`int`": "a whole number",
    "`bool`": "true or false",
    "`array`": "a list",
    "`object`": "several members",
    "`null`": "nothing",
}


#: How the codec says a bound, and how a keeper does.
_BOUND: Final = re.compile(r"(,? of length)? (>=|<=|>|<) (\d+)(?:\.0)?\b")
_BOUNDS: Final = {">": "above", ">=": "at least", "<=": "at most", "<": "below"}


def _bound(found: re.Match[str]) -> str:
    """`> 0.0` as `above 0`, `of length <= 10000` as `of at most 10,000 letters`."""
    words = f"{_BOUNDS[found[2]]} {int(found[3]):,}"
    return f" of {words} letter{'s' * (found[3] != '1')}" if found[1] else f" {words}"


def in_words(reason: str, kind: type[Entry]) -> str:
    """What the codec says against an entry, without its types and with the words that would do."""
    reason = reason.replace(" | null`", "`")
    for name, word in _TYPES.items():
        reason = reason.replace(name, word)
    reason = reason.replace("Invalid enum value", "there is no word")
    reason = _BOUND.sub(_bound, reason).replace("Number out of range", "the number is too large")
    found = _MEMBER.match(reason)
    if found:
        member = members(kind).get(found[1])
        if member is not None and member.words and "there is no word" in reason:
            return f"{reason}; it may be {', '.join(member.words)}"
    return reason


def told(errors: list[str]) -> str:
    """All that was wrong, each with its line; of very many the first ones."""
    if len(errors) == 1:
        return f"Nothing was written: {errors[0]}"
    more = f"\n  and {len(errors) - _MOST_TOLD} more" if len(errors) > _MOST_TOLD else ""
    return "Nothing was written:\n  " + "\n  ".join(errors[:_MOST_TOLD]) + more
