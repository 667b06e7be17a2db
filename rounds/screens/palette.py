"""The list of commands by name (Ctrl-P): what the keys of this screen do, found by a few letters.

It is asked like a jump, on the board. Textual's own list of commands is not used: pressed quickly it was
seen to raise and to take the whole app with it, and it brings commands that make no sense here (themes that
know nothing of a screen without colour, a picture of the screen).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from textual import actions

from rounds.screens.keys.register import DIGITS, Key
from rounds.screens.prompts.asks import Found, Search, Talk

if TYPE_CHECKING:
    from rounds.screens.screen import RoundScreen


def commands(screen: RoundScreen) -> Talk:
    """Ask for a command, and carry it out once the question is gone."""
    key: Key = yield Search("Command", partial(named, screen))
    screen.then(partial(carry_out, screen, key))


def named(screen: RoundScreen, typed: str) -> Sequence[Found]:
    """The commands of a screen that the letters may mean: by their name first, then by what they do."""
    letters = typed.strip().casefold()
    ranked: list[tuple[int, Found]] = []
    for key in (*screen.KEYS, *screen.COMMON):
        if key.keys == DIGITS or key.id == "commands" or not _possible(screen, key):
            continue
        name = key.word.casefold()
        rank = (
            0 if name.startswith(letters) else 1 if letters in name else 2 if letters in key.tip.casefold() else 3
        )
        if rank < 3:
            label = f"{key.word[:1].upper()}{key.word[1:]}  ({screen.key_map.label(key)})  {key.tip}"
            ranked.append((rank, Found(label, key)))
    return [found for _, found in sorted(ranked, key=lambda one: one[0])]


def carry_out(screen: RoundScreen, key: Key) -> None:
    """Do what the key does."""
    where, name, parameters = actions.parse(key.action)
    target = screen.app if where == "app" else screen
    if target.check_action(name, parameters):
        getattr(target, f"action_{name}")(*parameters)


def _possible(screen: RoundScreen, key: Key) -> bool:
    where, name, parameters = actions.parse(key.action)
    return bool((screen.app if where == "app" else screen).check_action(name, parameters))
