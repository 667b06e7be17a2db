"""How colony.toml says in which racks the enclosures stand."""

from __future__ import annotations

from typing import Final, NoReturn

from rounds.errors import BadRule
from rounds.standing.racks import RackSetting

#: More is no room: 100 racks of 100 rows, 30 side by side.
_MOST_RACKS: Final = 100
_MOST_ROWS: Final = 100
_MOST_BESIDE: Final = 30
_EXAMPLE: Final = 'write [racks] and then A = ["A1", "A2", ""], or only their order: racks = ["A", "B"]'


def racks_of(value: object) -> tuple[RackSetting, ...]:
    """The racks from left to right: a table of them with their rows from the top down, or a list of their names.

    A row is a name, or a list of names that stand side by side; "" is a free place. Raises `BadRule`.
    """
    if isinstance(value, list):
        found = [RackSetting(_name(one)) for one in value]
    elif isinstance(value, dict):
        found = [RackSetting(_name(name), _rows(name, rows)) for name, rows in value.items()]
    else:
        raise BadRule(f"colony.toml, racks: this wants a table or a list of names; {_EXAMPLE}")
    if len(found) > _MOST_RACKS:
        raise BadRule(f"colony.toml, racks: more than {_MOST_RACKS} racks; name fewer")
    _once([rack.name for rack in found], "racks")
    _once([word for rack in found for row in rack.rows for word in row if word], "racks")
    return tuple(found)


def _name(value: object) -> str:
    if not isinstance(value, str) or not value.strip() or len(value) > 200:
        raise BadRule(f"colony.toml, racks: a rack needs a name of 1 to 200 letters in quotes; {_EXAMPLE}")
    return value.strip()


def _rows(rack: str, value: object) -> tuple[tuple[str, ...], ...]:
    if not isinstance(value, list):
        _wrong(rack)
    if len(value) > _MOST_ROWS:
        raise BadRule(f"colony.toml, racks, {rack[:80]!r}: more than {_MOST_ROWS} rows; part it in two racks")
    return tuple(_row(rack, one) for one in value)


def _row(rack: str, value: object) -> tuple[str, ...]:
    words = value if isinstance(value, list) else [value]
    names = [one.strip() for one in words if isinstance(one, str)]
    if not words or len(words) > _MOST_BESIDE or len(names) < len(words):
        _wrong(rack)
    return tuple(names)


def _wrong(rack: str) -> NoReturn:
    raise BadRule(
        f"colony.toml, racks, {rack[:80]!r}: this wants its rows from the top down, each a name in quotes or a "
        f'list of up to {_MOST_BESIDE} side by side, such as ["A1", ["A2", "A3"], ""]'
    )


def _once(names: list[str], where: str) -> None:
    seen: set[str] = set()
    for one in names:
        if one.casefold() in seen:
            raise BadRule(f"colony.toml, {where}: {one[:80]!r} stands in it twice; leave one away")
        seen.add(one.casefold())
