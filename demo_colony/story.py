"""Reads what befalls whom, from the pages in story/, which are written in the logbook's plain words."""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from typing import Any, Final, NamedTuple

from rounds.logbook import plain, rows
from rounds.logbook.entries import KINDS, Entry
from rounds.logbook.words import EGG_SIGNS

PAGES: Final = Path(__file__).with_name("story")
#: Members of a line that belong to the telling, not to the entry.
_TELLING: Final = ("as", "late", "replaces", "instead", "loss")
_COUNTS: Final = ("count", "slugs", "lost")
#: Matings further back were copied from the paper book, at an hour of their own.
_ON_PAPER: Final = -170
_RELATIVE: Final = re.compile(r"\bD([+-]\d+)\b")
_SHARED: Final = {"id": "told", "at": "2000-01-01T12:00:00+00:00", "by": "told"}


class Told(NamedTuple):
    """One line of the story on one day. `when` is m, e (her stop on that walk) or a clock."""

    day: int
    when: str
    about: str
    kind: str
    members: dict[str, Any]
    telling: dict[str, str]

    @property
    def minute(self) -> int | None:
        """Minutes after midnight; None when it is seen at a stop of a walk."""
        return None if self.when in ("m", "e") else _minute(self.when)


def told() -> list[Told]:
    """Every line of the story, day by day, in the order of the pages."""
    lines = [
        one
        for page in ("paper", "clutches", "ladder", "season", "others", "stock")
        for one in _page((PAGES / f"{page}.txt").read_text(encoding="utf-8"))
    ]
    return sorted(lines, key=lambda line: line.day)


def fields_of(line: Told, end: date) -> dict[str, Any]:
    """The entry's own fields, dates such as D+4 counted from `end`. Raises `BadEntry`."""
    members = {name: _dated(value, end) for name, value in line.members.items()}
    if line.kind in ("weighed", "egg_box_weighed") and "grams" not in members:
        members["grams"] = "1"
    if line.kind == "corrected":
        members["replaces"] = "told"
    entry = rows.from_mapping({**_SHARED, **members, "about": line.about}, lenient=True)
    names = set(members) - {"kind"}
    return {name: getattr(entry, name) for name in names}


def kind_of(line: Told) -> type[Entry]:
    """The kind of entry a line becomes."""
    return KINDS[line.kind]


def late_of(line: Told) -> tuple[int, int] | None:
    """Day and second at which a late note was written down."""
    if "late" not in line.telling:
        return None
    day, _, clock = line.telling["late"].partition("T")
    return int(day), _minute(clock) * 60


def place_told(line: Told) -> str | None:
    """The enclosure a line moves its subject into, if it does."""
    return line.members.get("to") if line.kind == "moved" else line.members.get("place")


def _page(text: str) -> Iterator[Told]:
    for row in text.splitlines():
        if not row or row.startswith("#"):
            continue
        days, when, who, what, *words = shlex.split(row)
        if what == "pairs":
            yield from _paired(int(days), when, who, dict(word.split("=") for word in words))
            continue
        if what == "lays":
            yield from _raised(int(days), when, who, dict(word.split("=") for word in words))
            continue
        for one in who.split(","):
            line = _line(0, when, one, what, words)
            yield from (line._replace(day=day) for day in _days(days))


def _line(day: int, when: str, who: str, what: str, words: list[str]) -> Told:
    telling = {name: value for name, _, value in (word.partition("=") for word in words) if name in _TELLING}
    members = plain.members(what, [word for word in words if word.partition("=")[0] not in _TELLING])
    if what == "egg_check_done":
        members["absent"] = [sign for sign in EGG_SIGNS if sign not in members.get("present", ())]
    return Told(day, when, plain.about_of(what, who), what, members, telling)


def _paired(day: int, when: str, who: str, words: dict[str, str]) -> Iterator[Told]:
    """A male put in, courting, the mating, and parted again."""
    he = words["with"]
    yield _line(day, when, who, "put_together", [f"mate={he}"])
    yield _line(day, "17:35", he, "behaviour_seen", ["behaviour=head bobbing", f"toward={who}"])
    yield _line(day, "17:36", who, "behaviour_seen", ["behaviour=arm-waving", f"toward={he}"])
    seen = "m" if day > _ON_PAPER else "09:40"
    yield _line(int(words["mating"]), seen, who, "mating_seen", [f"sire={he}"])
    yield _line(int(words["parted"]), seen, who, "parted", [f"mate={he}"])


def _raised(day: int, when: str, who: str, words: dict[str, str]) -> Iterator[Told]:
    """A clutch of the paper book: mating, eggs, box, candling, losses, hatching, and what became of the young.

    `mating` is its day (of a first clutch of the season), `out` the day of the first hatching, `young` the bin.
    """
    name, he, count, slugs, lost = words["clutch"], words["sire"], *(int(words[key]) for key in _COUNTS)
    if mating := words.get("mating"):
        first = int(mating) - 2
        yield from _paired(first, "16:50", who, {"with": he, "mating": mating, "parted": str(first + 3)})
    sound, out, group = count - slugs, int(words["out"]), f"group/{name}-young"
    laid = [f"clutch={name}", f"count={count}", f"slugs={slugs}", "complete=true", f"sire={he}"]
    yield _line(
        day, when, who, "eggs_laid", [*laid, *(f"eggs_grams={words['grams']}" for _ in words.get("grams", "")[:1])]
    )
    box = [f"count={sound}", f"place={words['shelf']}", "medium=vermiculite 1 to 1 with water"]
    yield _line(day, "18:20", name, "eggs_boxed", box)
    yield _line(day + 12, "10:10", name, "candled", [f"fertile={sound - lost}", f"clear={lost}"])
    yield _line(day + 20, "10:15", name, "eggs_lost", [f"count={lost}", "why=clear, then yellow"])
    later = (sound - lost) // 3
    called = name.replace("-", " ").capitalize()
    for number, (on, hatched) in enumerate(((out, sound - lost - later), (out + 1, later))):
        yield _line(on, "09:30", name, "hatched", [f"count={hatched}", f"into={group}"])
        came = [f"name=Young of {called}", f"place={words['young']}", f"hatched=D{out}", f"count={hatched}"]
        came += [f"dam={who}", f"sire={he}", f"clutch={name}", "bred_here=true"]
        yield _line(on, f"10:{number:02d}", group, "arrived", came)
    yield from (_line(on, "11:00", group, "weighed", []) for on in range(out + 14, out + 70, 28))
    yield _line(out + 33, "08:10", group, "died", ["count=1"])
    sold = ["how=sold", "to=keepers in the valley", f"price={words['price']}", "currency=AUD"]
    yield _line(out + 74, "14:00", group, "left", sold)


def _days(text: str) -> Iterator[int]:
    for part in text.split(","):
        days, _, step = part.partition("/")
        first, _, last = days.partition("..")
        yield from range(int(first), int(last or first) + 1, int(step or 1))


def _minute(clock: str) -> int:
    hour, minute = clock.split(":")
    return int(hour) * 60 + int(minute)


def _dated(value: Any, end: date) -> Any:
    """Dates such as D+4 in a member, counted from `end`."""
    if not isinstance(value, str):
        return value
    return _RELATIVE.sub(lambda found: (end + timedelta(days=int(found[1]))).isoformat(), value)
