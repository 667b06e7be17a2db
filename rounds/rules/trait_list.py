"""The colony's own list of traits, as colony.toml has it under [traits]."""

from __future__ import annotations

import re
from typing import Final

from rounds.errors import BadRule
from rounds.standing.traits import KNOWN, WAYS, Trait

_MOST: Final = 40
_EXAMPLE: Final = 'albino = "recessive" or leatherback = "incomplete dominant, two copies scaleless"'
_TWO: Final = re.compile(r"two copies:? +(?P<words>.+)")


def trait_list(value: object) -> tuple[Trait, ...]:
    """The traits, by name; `leatherback` is among them without being told. Raises `BadRule`."""
    if not isinstance(value, dict):
        raise BadRule(f"colony.toml, traits: this wants a table; write [traits] and then {_EXAMPLE}")
    if len(value) > _MOST:
        raise BadRule(f"colony.toml, traits: {len(value)} traits; at most {_MOST} are reckoned with")
    found = {trait.name: trait for trait in KNOWN}
    seen: set[str] = set()
    for given, text in value.items():
        name = " ".join(given.split())
        if not name or len(name) > 40 or not name.isprintable():
            raise BadRule(
                f"colony.toml, traits: {given[:80]!r} cannot be a trait; give it a name of 1 to 40 letters"
            )
        if name.casefold() in seen:
            raise BadRule(f"colony.toml, traits: {name!r} stands in it twice; leave one away")
        seen.add(name.casefold())
        trait = _trait(name, text)
        for known in [one for one in found if one.casefold() == name.casefold()]:
            del found[known]
        found[name] = trait
    return tuple(found.values())


def _trait(name: str, text: object) -> Trait:
    if isinstance(text, str):
        told, _, rest = (part.strip() for part in text.partition(","))
        way = next((one for one in WAYS if one == " ".join(told.casefold().split())), None)
        two = _TWO.fullmatch(rest)
        words = " ".join(two["words"].split()) if two else ""
        if way is not None and (not rest or (two and way == "incomplete dominant" and len(words) <= 40)):
            if words and not words.isprintable():
                raise BadRule(f"colony.toml, traits, {name!r}: what two copies are called has to be plain letters")
            return Trait(name, way, words or next((one.two for one in KNOWN if one.name == name.casefold()), ""))
    raise BadRule(f"colony.toml, traits, {name!r}: {str(text)[:80]!r} is not understood; write {_EXAMPLE}")
