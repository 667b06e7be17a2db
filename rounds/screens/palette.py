"""The list of commands by name (Ctrl-P): what the keys of the screen behind it do, and nothing else.

Of what Textual offers there itself nothing is taken over: its themes know nothing of a screen without
colour, and a picture of the screen is no paper.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from textual.command import DiscoveryHit, Hit, Hits, Provider

from rounds.screens.keys import DIGITS, Key
from rounds.screens.screen import RoundScreen


class KeyCommands(Provider):
    """The actions of the screen, from the register of keys."""

    async def discover(self) -> Hits:
        for key, name in self._named():
            yield DiscoveryHit(name, partial(self._run, key), help=key.tip)

    async def search(self, query: str) -> Hits:
        matcher = self.matcher(query)
        for key, name in self._named():
            score = max(matcher.match(name), matcher.match(key.tip) / 2)
            if score > 0:
                yield Hit(score, matcher.highlight(name), partial(self._run, key), help=key.tip)

    def _named(self) -> Iterator[tuple[Key, str]]:
        screen = self.screen
        if isinstance(screen, RoundScreen):
            for key in (*screen.KEYS, *screen.COMMON):
                if key.keys != DIGITS:
                    name = key.word or key.tip
                    yield key, f"{name[:1].upper()}{name[1:]}  ({screen.key_map.label(key)})"

    async def _run(self, key: Key) -> None:
        screen = self.screen
        if isinstance(screen, RoundScreen) and not screen.unsaved:
            await self.app.run_action(key.action, screen)
