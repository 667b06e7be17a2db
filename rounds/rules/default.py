"""The rules a house starts with, as the TOML files in `defaults/` have them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache
from typing import Any, Final
from zoneinfo import ZoneInfo

import msgspec

from rounds.rules.house import GRADES, House, Rule, Value

#: The files of defaults, by what they are about.
TOPICS: Final = (
    "breeding",
    "brumation",
    "cleaning",
    "climate",
    "eggbinding",
    "eggs",
    "evidence",
    "feeding",
    "forecast",
    "health",
    "laying",
    "incubation",
    "matters_breeding",
    "matters_health",
    "matters_weight",
    "pairing",
    "plausible",
    "sale",
    "supplies",
    "walk",
    "weighing",
    "young",
)

_MEMBERS: Final = frozenset({"value", "unit", "grade", "source", "says", "least", "most", "calendar", "below"})
_HEADER: Final = re.compile(r"\[([a-z]+)\.([a-z_]+)\]")
_MEMBER: Final = re.compile(r"([a-z]+) = (.+)")


class Default(msgspec.Struct, frozen=True, kw_only=True):
    """A rule as it comes, the file it stands in, and which rule's value it has to stay below, if any."""

    rule: Rule
    topic: str
    below: str | None = None


@lru_cache(maxsize=1)
def default_rules() -> dict[str, Default]:
    """The rules a house starts with, by key."""
    return read((topic, default_text(topic)) for topic in TOPICS)


def default_text(topic: str) -> str:
    """A file of defaults that comes with the program."""
    # What imported this module reads what lies beside it, in a folder or an archive; importlib.resources does
    # the same and costs each start 8 ms.
    loader: Any = __spec__.loader
    content: bytes = loader.get_data(f"{__file__.rpartition('default.py')[0]}defaults/{topic}.toml")
    return content.decode("utf-8")


def default_house(zone: ZoneInfo) -> House:
    """A house that has changed nothing."""
    return House({key: default.rule for key, default in default_rules().items()}, zone)


def read(texts: Iterable[tuple[str, str]]) -> dict[str, Default]:
    """Default rules by key, from the name and the text of each file.

    Raises `ValueError` when a file is not as it should be; the package's own files are held to it by a test.
    """
    found: dict[str, Default] = {}
    for topic, text in sorted(texts):
        for area, rules in tables(text).items():
            for name, members in rules.items():
                key = f"{area}.{name}"
                if key in found:
                    raise ValueError(f"{topic}: {key} stands in {found[key].topic} too")
                found[key] = _default(topic, key, members)
    for key, default in found.items():
        if default.below is not None and default.below not in found:
            raise ValueError(f"{default.topic}: {key} is below {default.below}, which is no rule")
    return found


def tables(text: str) -> dict[str, dict[str, Any]]:
    """The tables of a file of defaults, by area and name.

    These files are plain: a header in brackets, then members whose values JSON writes as TOML does. Read so
    they cost each start 1 ms, where a reading as TOML costs 6; whatever is not as plain is read as TOML.
    """
    found: dict[str, dict[str, Any]] = {}
    members: dict[str, Any] | None = None
    for line in text.splitlines():
        if not line or line.startswith("#"):
            continue
        header = _HEADER.fullmatch(line)
        if header is not None:
            members = found.setdefault(header[1], {}).setdefault(header[2], {})
            continue
        member = _MEMBER.fullmatch(line)
        if member is None or members is None or member[1] in members:
            return _as_toml(text)
        try:
            members[member[1]] = msgspec.json.decode(member[2])
        except msgspec.DecodeError:
            return _as_toml(text)
    return found


def _as_toml(text: str) -> dict[str, dict[str, Any]]:
    import tomllib

    return tomllib.loads(text)


def _default(topic: str, key: str, members: dict[str, Any]) -> Default:
    unknown = set(members) - _MEMBERS
    if unknown:
        raise ValueError(f"{topic}: {key} has {', '.join(sorted(unknown))}")
    if members["grade"] not in GRADES:
        raise ValueError(f"{topic}: {key} has the grade {members['grade']!r}")
    value = members["value"]
    if not isinstance(value, str) and not {"least", "most"} <= set(members):
        raise ValueError(f"{topic}: {key} does not tell what makes sense: least and most")
    rule = Rule(
        key=key,
        value=as_value(value),
        unit=members["unit"],
        grade=members["grade"],
        source=members["source"],
        says=members["says"],
        least=members.get("least"),
        most=members.get("most"),
        calendar=members.get("calendar", False),
    )
    return Default(rule=rule, topic=topic, below=members.get("below"))


def as_value(value: Any) -> Value:
    """A TOML value as a rule keeps it: a band is a pair of numbers; a text is said, not set."""
    if isinstance(value, list):
        low, high = value
        return (float(low), float(high))
    assert isinstance(value, int | float | str)
    return value
