"""What colony.toml says: the colony's name, zone, units, walking order, people, and its house rules."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from datetime import time
from typing import TYPE_CHECKING, Any, Final, Literal
from zoneinfo import ZoneInfo

import msgspec

from rounds.errors import BadRule
from rounds.logbook.times import DateOrder
from rounds.rules.changes import changed_rules, nearest
from rounds.rules.default import Default
from rounds.rules.house import House
from rounds.standing.traits import KNOWN, Trait

if TYPE_CHECKING:
    from rounds.rules.supply_plan import SupplyPlan
    from rounds.standing.racks import RackSetting

Units = Literal["metric", "imperial"]
EVENING_FROM: Final = time(14)
_KEYS: Final = (
    "name",
    "time_zone",
    "units",
    "walking_order",
    "racks",
    "evening_from",
    "lights_off",
    "date_order",
    "currency",
    "desks",
    "vet",
    "keepers",
    "traits",
    "house_rules",
    "supplies",
)
#: Compiled when a mistake is told.
_LINE: Final = r"^(?P<what>.*) \(at (?:line (?P<line>\d+), column (?P<column>\d+)|end of document)\)$"
#: A whole number of TOML has 64 bits with its sign.
_MOST_BITS: Final = 63
_VET_KEYS: Final = ("name", "phone", "hours")
_CLOCK: Final = re.compile(r"([01]?\d|2[0-3]):([0-5]\d)")


class Settings(msgspec.Struct, frozen=True, kw_only=True):
    """A colony's own settings. `units` only changes what is shown: entries and rules are in g, mm and °C.

    `evening_from` parts the morning walk from the evening walk by the room's clock. `walking_order`
    names enclosures by id or as written on them; `racks` how they stand in the room; `keepers` gives the names
    behind initials. The house has the vet's name and telephone number, when the lights go off, and the
    currency of prices. `date_order`
    says whether 3/4 is the third of April or the fourth of March.
    """

    name: str
    zone: ZoneInfo
    house: House
    units: Units = "metric"
    walking_order: tuple[str, ...] = ()
    racks: tuple[RackSetting, ...] = ()
    evening_from: time = EVENING_FROM
    date_order: DateOrder = "day-month"
    desks: tuple[str, ...] = ()
    keepers: Mapping[str, str] = {}


def settings_of(text: str, defaults: Mapping[str, Default]) -> Settings:
    """The settings that the text of a colony.toml gives. Raises `BadRule` with a sentence for any mistake."""
    table = _toml(text)
    # Of a house rule it is told with the rule.
    _has_no_huge_number({key: value for key, value in table.items() if key != "house_rules"})
    for key in table:
        if key not in _KEYS:
            raise BadRule(
                f"colony.toml: {key[:80]!r} means nothing here{nearest(key, _KEYS)} "
                f"(it may have {', '.join(_KEYS)})"
            )
    zone = zone_of(table.get("time_zone"))
    evening = _evening(table.get("evening_from"))
    house = House(
        changed_rules(defaults, table.get("house_rules", {})),
        zone,
        evening,
        vet=_vet(table.get("vet", {})),
        lights_off=_lights_off(table.get("lights_off")),
        traits=_traits(table),
        supplies=_supplies(table),
        currency=_currency(table.get("currency")),
    )
    return Settings(
        name=name_of(table.get("name")),
        zone=zone,
        house=house,
        units=_units(table.get("units", "metric")),
        walking_order=_names(table, "walking_order", '["A1", "A2"]'),
        racks=_racks(table),
        evening_from=evening,
        date_order=_date_order(table.get("date_order", "day-month")),
        desks=_names(table, "desks", '["rack laptop"]'),
        keepers=_keepers(table.get("keepers", {})),
    )


# What reads racks, traits and supplies is loaded where colony.toml has them: no start has to wait for it.
def _traits(table: Mapping[str, Any]) -> tuple[Trait, ...]:
    if "traits" not in table:
        return KNOWN
    from rounds.rules.trait_list import trait_list

    return trait_list(table["traits"])


def _supplies(table: Mapping[str, Any]) -> Mapping[str, SupplyPlan]:
    if "supplies" not in table:
        return {}
    from rounds.rules.supplies import supplies_of

    return supplies_of(table["supplies"])


def _racks(table: Mapping[str, Any]) -> tuple[RackSetting, ...]:
    if "racks" not in table:
        return ()
    from rounds.rules.racks import racks_of

    return racks_of(table["racks"])


def _toml(text: str) -> dict[str, Any]:
    try:
        # With a line end of its own the last line, too, is named by its number.
        return tomllib.loads(text + "\n")
    except RecursionError as error:
        raise BadRule(
            "colony.toml: its lists are nested too deep to be read; write it as docs/house-rules.md shows"
        ) from error
    except ValueError as error:
        found = re.match(_LINE, str(error))
        if found is None:
            raise BadRule(f"colony.toml: it cannot be read as TOML ({str(error)[:200]})") from error
        where = f"line {found['line']}, column {found['column']}" if found["line"] else "at its end"
        raise BadRule(
            f"colony.toml, {where}: {found['what'][:200]}; it cannot be read as TOML. "
            "Text stands in quotes, and a key and its value are parted by ="
        ) from error


def _has_no_huge_number(value: object, where: str = "") -> None:
    """Refuse a number longer than TOML's: one in hexadecimal may be too long even to be said. Raises `BadRule`."""
    if isinstance(value, int) and value.bit_length() > _MOST_BITS:
        raise BadRule(f"colony.toml{where}: the number is far too large; write one of at most 18 digits")
    if isinstance(value, dict):
        for key, one in value.items():
            _has_no_huge_number(one, f"{where}, {key[:80]}" if key.isprintable() else where)
    elif isinstance(value, list):
        for one in value:
            _has_no_huge_number(one, where)


def name_of(value: object) -> str:
    """A colony's name. Raises `BadRule`."""
    if not isinstance(value, str) or not value.strip():
        raise BadRule('colony.toml: the colony needs a name; write name = "Quandong shed"')
    if len(value) > 200:
        raise BadRule("colony.toml: the name is longer than 200 letters; give a shorter one")
    return value.strip()


def zone_of(value: object) -> ZoneInfo:
    """A time zone by its IANA name. Raises `BadRule`."""
    if value is None:
        raise BadRule('colony.toml: the room needs its time zone; write time_zone = "Europe/Vienna"')
    if not isinstance(value, str):
        raise BadRule('colony.toml, time_zone: this wants a name in quotes, such as "Europe/Vienna"')
    try:
        return ZoneInfo(value)
    except (KeyError, ValueError, OSError) as error:
        # Only a mistake pays for the list of all zones.
        from zoneinfo import available_timezones

        close = nearest(value, sorted(available_timezones()))
        raise BadRule(
            f"colony.toml, time_zone: there is no time zone {value[:80]!r}{close} "
            "(write the IANA name: continent, slash, city)"
        ) from error


def _units(value: object) -> Units:
    if value == "metric" or value == "imperial":
        return value
    raise BadRule(
        f'colony.toml, units: {str(value)[:80]!r} is not known; write "metric" (g, °C) or "imperial" (oz, °F)'
    )


def _clock(key: str, value: object, example: str) -> time:
    """A time of day, in quotes or as TOML has it."""
    if isinstance(value, time):
        return value.replace(second=0, microsecond=0)
    if isinstance(value, str) and (found := _CLOCK.fullmatch(value.strip())):
        return time(int(found[1]), int(found[2]))
    raise BadRule(f'colony.toml, {key}: {str(value)[:80]!r} is no time of day; write "{example}"')


def _date_order(value: object) -> DateOrder:
    if value == "day-month" or value == "month-day":
        return value
    raise BadRule(
        f'colony.toml, date_order: {str(value)[:80]!r} is not known; write "day-month" (3/4 is 3 April) or '
        '"month-day" (3/4 is March 4)'
    )


def _currency(value: object) -> str:
    """The currency that prices are in; empty when colony.toml does not say."""
    if value is None:
        return ""
    from rounds.rules.currency import CURRENCIES

    if not isinstance(value, str) or value.strip().upper() not in CURRENCIES:
        close = nearest(value.strip().upper(), sorted(CURRENCIES)) if isinstance(value, str) else ""
        raise BadRule(
            f"colony.toml, currency: {str(value)[:80]!r} is no currency{close}; write three letters of ISO 4217, "
            'such as "AUD"'
        )
    return value.strip().upper()


def _evening(value: object) -> time:
    if value is None:
        return EVENING_FROM
    clock = _clock("evening_from", value, "14:00")
    if not time(8) <= clock <= time(22):
        raise BadRule(
            f"colony.toml, evening_from: {clock:%H:%M} cannot part morning from evening; give 08:00 to 22:00"
        )
    return clock


def _lights_off(value: object) -> time | None:
    if value is None:
        return None
    clock = _clock("lights_off", value, "20:00")
    if clock < time(12):
        raise BadRule(f"colony.toml, lights_off: {clock:%H:%M} is no evening; give 12:00 to 23:59")
    return clock


def _vet(value: object) -> str:
    """The vet as shown beside each vet matter: `Dr Quoll, 08 5550 1234 (Mon to Fri)`; empty without a number."""
    if not isinstance(value, dict):
        raise BadRule('colony.toml, vet: this wants a table; write [vet] and then phone = "08 5550 1234"')
    given: dict[str, str] = {}
    for key, text in value.items():
        if key not in _VET_KEYS:
            raise BadRule(
                f"colony.toml, vet: {key[:80]!r} means nothing here{nearest(key, _VET_KEYS)} "
                f"(it may have {', '.join(_VET_KEYS)})"
            )
        if not isinstance(text, str) or not text.strip() or len(text) > 100 or not text.strip().isprintable():
            raise BadRule(
                f'colony.toml, vet, {key}: this wants up to 100 letters in quotes, such as "08 5550 1234"'
            )
        given[key] = text.strip()
    if not given:
        return ""
    if not any(one.isdigit() for one in given.get("phone", "")):
        raise BadRule('colony.toml, vet: the telephone number is missing; write phone = "08 5550 1234"')
    who = f"{given['name']}, {given['phone']}" if "name" in given else given["phone"]
    return f"{who} ({given['hours']})" if "hours" in given else who


def _names(table: Mapping[str, Any], key: str, example: str) -> tuple[str, ...]:
    value = table.get(key, [])
    if not isinstance(value, list) or not all(isinstance(one, str) and one.strip() for one in value):
        raise BadRule(f"colony.toml, {key}: this wants a list of names in quotes, such as {example}")
    names = tuple(one.strip() for one in value)
    seen: set[str] = set()
    for one in names:
        if one.casefold() in seen:
            raise BadRule(f"colony.toml, {key}: {one[:80]!r} stands in it twice; leave one away")
        seen.add(one.casefold())
    return names


def _keepers(value: object) -> dict[str, str]:
    if not isinstance(value, dict):
        raise BadRule('colony.toml, keepers: this wants a table; write [keepers] and then AK = "Anna K."')
    keepers: dict[str, str] = {}
    for initials, name in value.items():
        if not initials.strip() or len(initials) > 40:
            raise BadRule(f"colony.toml, keepers: {initials[:80]!r} cannot be initials; give 1 to 40 letters")
        if not isinstance(name, str) or not name.strip():
            raise BadRule(
                f'colony.toml, keepers, {initials!r}: this wants a name in quotes, such as AK = "Anna K."'
            )
        keepers[initials.strip()] = name.strip()
    return keepers
