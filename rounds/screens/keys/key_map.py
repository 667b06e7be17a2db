"""The keeper's own keys: `keys.toml` in the user's configuration folder, by the ids of the register.

A mistake in it is reported in a sentence, and that line is skipped: its key stays as it was.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, Final

from rounds.rules.changes import nearest
from rounds.screens.keys.register import ALLOWED, DIGITS, Key, shown_key
from rounds.screens.keys.screens import BY_ID, SCREENS

#: A keys.toml has some lines; a larger file is something else.
MOST_BYTES: Final = 64 * 1024


class KeyMap:
    """Which keys differ from the register, and what was wrong in the file that says so."""

    def __init__(self, changed: Mapping[str, tuple[str, ...]] | None = None, mistakes: Sequence[str] = ()) -> None:
        self.changed = dict(changed or {})
        self.mistakes = tuple(mistakes)

    def label(self, key: Key) -> str:
        """How a key is named on screens: as changed, or as the register has it."""
        changed = self.changed.get(key.id)
        return " ".join(shown_key(one) for one in changed) if changed else key.label

    def keys(self, key: Key) -> tuple[str, ...]:
        """Its keys, by name: as changed, or as the register has them."""
        return self.changed.get(key.id) or tuple(key.keys.split(","))

    def for_textual(self) -> dict[str, str]:
        """What `App.set_keymap` takes."""
        return {id: ",".join(keys) for id, keys in self.changed.items()}


def read(file: Path) -> KeyMap:
    """The keeper's own keys; none when there is no file, or none that can be used."""
    try:
        if not file.exists():
            return KeyMap()
        if not file.is_file():
            return KeyMap(mistakes=["keys.toml is not a file; the keys stand as they are."])
        with file.open("rb") as opened:
            content = opened.read(MOST_BYTES + 1)
        if len(content) > MOST_BYTES:
            return KeyMap(mistakes=["keys.toml is too large to be a list of keys; the keys stand as they are."])
        import tomllib  # late: few keepers have keys of their own

        return key_map(tomllib.loads(content.decode("utf-8-sig")))
    except OSError as error:
        return KeyMap(mistakes=[f"keys.toml cannot be read ({error.strerror}); the keys stand as they are."])
    except (ValueError, RecursionError) as error:
        return KeyMap(
            mistakes=[f"keys.toml cannot be read as TOML ({str(error)[:80]}); the keys stand as they are."]
        )


def key_map(table: Mapping[str, Any]) -> KeyMap:
    """The changes that a table of ids and keys asks for, as far as they make sense together."""
    changed: dict[str, tuple[str, ...]] = {}
    mistakes: list[str] = []
    for id, wanted in table.items():
        try:
            changed[id] = _keys(id, wanted)
        except ValueError as error:
            mistakes.append(f"keys.toml: {error}")
    while clash := _clash(changed):
        id, other, key = clash
        del changed[id]
        mistakes.append(
            f"keys.toml, {id}: {shown_key(key)} is the key of {other.id!r} there; it was left as it is."
        )
    return KeyMap(changed, mistakes)


def _keys(id: str, wanted: Any) -> tuple[str, ...]:
    """The keys wanted for an id. Raises `ValueError` with a sentence."""
    if id not in BY_ID:
        raise ValueError(f"there is no {id[:40]!r}{nearest(id, BY_ID) or '; docs/keys.md lists the ids.'}")
    if BY_ID[id].keys == DIGITS:
        raise ValueError(f"{id}: the digits are for weights and stay.")
    names = wanted if isinstance(wanted, list) else str(wanted).split(",") if isinstance(wanted, str) else []
    keys = tuple(_key(id, name) for name in names)
    if not keys:
        raise ValueError(f'{id}: write a key in quotes, such as {id} = "f5".')
    return tuple(dict.fromkeys(keys))


def _key(id: str, name: Any) -> str:
    text = name.strip().casefold() if isinstance(name, str) else ""
    key = _SIGNS.get(text, text)
    if key not in ALLOWED:
        raise ValueError(f"{id}: {str(name)[:40]!r} is no key that can be used; write a letter, f1 to f12, space …")
    return key


_SIGNS: Final = {
    "?": "question_mark",
    "/": "slash",
    "*": "asterisk",
    "+": "plus",
    "-": "minus",
    ".": "full_stop",
    "return": "enter",
    "esc": "escape",
}


def _clash(changed: Mapping[str, tuple[str, ...]]) -> tuple[str, Key, str] | None:
    """A changed id, another one of the same screen with the same key, and that key."""
    for keys in SCREENS.values():
        holder: dict[str, Key] = {}
        # Unchanged keys come first: a changed one that clashes with them is dropped.
        for one in sorted(keys, key=lambda key: key.id in changed):
            for key in changed.get(one.id, tuple(one.keys.split(","))):
                other = holder.setdefault(key, one)
                if other is not one and one.id in changed:
                    return one.id, other, key
    return None
