"""The list of commands by name (F5): what the keys of a screen do, found by a few letters.

It is asked like a jump, on the board. Textual's own list of commands is not used: pressed quickly it was
seen to raise and to take the whole app with it, and it brings commands that make no sense here (themes that
know nothing of a screen without colour, a picture of the screen).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from rounds.screens.keys.register import Key
from rounds.screens.prompts.asks import Found


def commands(keys: Iterable[Key], label: Callable[[Key], str], typed: str) -> Sequence[Found]:
    """The keys that the letters may mean: by their word first, then by what they do."""
    letters = typed.strip().casefold()
    ranked: list[tuple[int, Found]] = []
    for key in keys:
        name = key.word.casefold()
        rank = (
            0 if name.startswith(letters) else 1 if letters in name else 2 if letters in key.tip.casefold() else 3
        )
        if rank < 3:
            ranked.append((rank, Found(f"{key.word[:1].upper()}{key.word[1:]}  ({label(key)})  {key.tip}", key)))
    return [found for _, found in sorted(ranked, key=lambda one: one[0])]
