"""The full-screen app: one open colony, its screens, and what runs between keys."""

from __future__ import annotations

import gc
import time
from collections.abc import Iterator, Sequence
from datetime import datetime
from importlib import import_module

from rounds import folders, system
from rounds.desk.desk import Desk
from rounds.desk.shift import Shift
from rounds.desk.unfinished import Unfinished, UnfinishedFile
from rounds.errors import RoundsError
from rounds.logbook import rows
from rounds.logbook.drafts import Draft
from rounds.paper.words import first_words
from rounds.screens.board.colours import DUSK, NOON, register_themes
from rounds.screens.keys.key_map import KeyMap
from rounds.screens.keys.screens import BY_NAME, VIEWS
from rounds.screens.navigation import Navigation
from rounds.screens.prompts.asks import Talk
from rounds.screens.prompts.choices import Choice, Option
from rounds.screens.prompts.finding import find
from rounds.screens.prompts.initials import as_initials
from rounds.screens.record.bringing_back import bring_back
from rounds.screens.screen import RoundScreen
from rounds.screens.typed import Typed
from rounds.screens.walk import WalkScreen
from rounds.standing.animal import animal
from rounds.standing.clutch import clutch

#: How often entries of other desks are looked for, and how often everything is reckoned again, in s.
LISTEN: float = 1.0
RECKON: float = 60.0
#: The longest that work between keys may keep a key waiting, in s.
SLICE: float = 0.004


class RoundsApp(Navigation):
    """The round: one shift, and the screens it is seen on."""

    def __init__(self, desk: Desk, key_map: KeyMap | None = None, *, offered: str = "") -> None:
        super().__init__()
        if key_map is not None:
            self.key_map = key_map
            self.set_keymap(key_map.for_textual())
        self.shift = Shift(desk)
        self.offered = as_initials(offered)
        self.notes = ""
        self._reckoning: Iterator[None] | None = None
        self._reading: Iterator[tuple[int, int]] | None = None
        #: The notice that was told last.
        self._told = ""
        self._clock_doubted = bool(desk.clock_doubt())  # said where the shift begins
        self.walk_screen = WalkScreen()
        self.typed = Typed(UnfinishedFile(folders.state(), desk.folder, desk.name))

    def on_mount(self) -> None:
        """First the stop, then the rest: matters of the whole room are reckoned between keys."""
        register_themes(self)
        self.push_screen(self.walk_screen)
        before = self.shift.keeper_before()
        if before and not self.shift.desk.keeper and self.offered in ("", before):
            self.shift.desk.keeper = before
            self.call_after_refresh(self.welcome_back)
        elif not self.shift.desk.keeper:
            self.open_screen("take over")
        if self.key_map.mistakes:
            self.call_after_refresh(self.say, " ".join(self.key_map.mistakes))
        self.set_interval(LISTEN, self.listen)
        self.set_interval(RECKON, self.begin_reckoning)
        self.call_after_refresh(self.settle)

    def settle(self) -> None:
        """The first screen is there: the rest can begin."""
        if not gc.isenabled():
            # What was loaded stays, so garbage collection need not go through it again and again.
            gc.freeze()
            gc.enable()
        self.begin_reckoning()
        self.typed.begin()
        self.set_interval(LISTEN, self.typed_changed)
        if self.screen is self.walk_screen:
            self.offer_what_was_typed()

    def welcome_back(self) -> None:
        """After a crash or a closed window: say who is on shift, or that the clock is in doubt."""
        doubt = self.shift.desk.clock_doubt()
        self.walk_screen.say(
            doubt or f"{self.shift.desk.keeper} is still on shift here.", "today" if doubt else "quiet"
        )

    def say(self, sentence: str) -> None:
        """Say something on the screen in front."""
        if isinstance(self.screen, RoundScreen):
            self.screen.say(sentence, "today")

    @property
    def seen_seconds(self) -> float:
        return self.shift.desk.house.number("walk.seen_seconds")

    # What was being typed when the app ended

    def offer_what_was_typed(self) -> None:
        """Once somebody is on shift, and before anything else is asked."""
        if self.typed.trouble:
            self.say(self.typed.trouble)
        if not self.typed.left:
            return
        from rounds.screens.record.taking_up import is_written, take_up

        desk, screen = self.shift.desk, self.walk_screen
        for one in self.typed.left:
            if is_written(screen, one):
                self.typed.answered(one)
        if self.typed.left and desk.keeper and screen.ask is None:
            screen.converse(take_up(screen, self.typed, self._bring_back_notes, self._dropped))

    def _bring_back_notes(self, text: str) -> None:
        self.notes = f"{self.notes}\n{text}" if self.notes else text

    def _dropped(self, one: Unfinished) -> None:
        self.broken_off[one.asked] = one.held
        self.typed_changed()

    def typed_changed(self) -> None:
        """Keep what stands typed now for the next start, or let go of what is written."""
        self.typed.look(*self._typed_now())

    def keep_typed(self) -> None:
        """The app ends, and not by its key."""
        self.typed.last(*self._typed_now())

    def _typed_now(self) -> tuple[list[object], str, str, datetime]:
        desk = self.shift.desk
        return [*self.screen_stack], self.notes, desk.keeper, desk.clock_time()

    def on_unmount(self) -> None:
        """Another desk may offer from now on what lies here."""
        self.typed.close()

    # Between keys

    def listen(self) -> None:
        """Take in what other desks wrote; the cursor stays, and so does what is being typed."""
        if self.shift.news():
            self.repaint()
        if self.shift.desk.is_stale and self._reading is None:
            self.begin_reading()
        self._look_at_the_clock()
        self._tell_notices()

    def _tell_notices(self) -> None:
        """Say what became of this desk's own sheets, once; at the take-over it stands on the screen."""
        desk = self.shift.desk
        if not desk.notices or self._reading is not None:
            return  # while all is read again the line is needed; then they are told
        if not desk.keeper:
            self.repaint()
        elif isinstance(self.screen, RoundScreen) and self.screen.ask is None:
            self._told = desk.take_notices()
            self.screen.say(self._told, "today")

    @property
    def _is_telling(self) -> bool:
        """Whether a notice stands there still: it stays until a key."""
        return bool(self._told) and isinstance(self.screen, RoundScreen) and self.screen.message == self._told

    def _look_at_the_clock(self) -> None:
        """Say once that the clock was set, or another desk's was, so that the two disagree."""
        doubt = self.shift.desk.clock_doubt()
        if not doubt:
            self._clock_doubted = False
        elif not self._clock_doubted and isinstance(self.screen, RoundScreen) and self.screen.ask is None:
            self._clock_doubted = True
            self.screen.say(doubt, "today")

    def begin_reading(self) -> None:
        """Older sheets have changed since the cache was written: read all of them again, between keys."""
        self._reading = self.shift.desk.reading()
        self._read_on()

    def _read_on(self) -> None:
        if self._reading is None:
            return
        try:
            done, of = next(self._reading)
        except StopIteration:
            self._reading = None
            self.shift.forget()
            told = self.shift.desk.missing.sentence if self.shift.desk.missing is not None else ""
            if not self.shift.desk.notices and not self._is_telling:
                self.say(f"All sheets were read again; what stands here is what they say. {told}".rstrip())
            self._tell_notices()
            self.begin_reckoning()
            return
        if done % 64 == 1 and not self._is_telling:
            self.say(
                f"Older sheets were changed since they were last read; all are read again: {100 * done // of} %. "
                "Until then older entries may be missing here. You can go on."
            )
        self.set_timer(0.001, self._read_on)

    def begin_reckoning(self) -> None:
        """Reckon everything again, a few subjects at a time; on a new day the walk is a new one."""
        if self.shift.turn() and self.walk_screen.is_mounted and self.walk_screen.ask is None:
            self.walk_screen.resume()
        self._reckoning = self.shift.reckon_all()
        self._reckon_on()

    def _reckon_on(self) -> None:
        if self._reckoning is None:
            return
        end = time.perf_counter() + SLICE
        try:
            while time.perf_counter() < end:
                next(self._reckoning)
        except StopIteration:
            self._reckoning = None
            self.repaint()
        else:
            self.set_timer(0.001, self._reckon_on)

    def repaint(self) -> None:
        """Lay out the screen in front again."""
        if self.screen_stack and isinstance(self.screen, RoundScreen):
            self.screen.paint()

    # Between screens

    def action_walk(self) -> None:
        """To the walk."""
        while self.screen is not self.walk_screen and len(self.screen_stack) > 2:
            self.pop_screen()
        self.walk_screen.paint()

    def action_open_screen(self, name: str) -> None:
        """To a screen that is not in front already: the key of each."""
        if not isinstance(self.screen, screen_class(name)):
            self.open_screen(name)

    def open_screen(self, name: str, *about: str) -> None:
        """To a screen by its name in the list of screens; `about` is what it is opened for."""
        self.push_screen(screen_class(name)(*about))

    def action_set_up(self) -> None:
        """Set up and register."""
        from rounds.screens.record.setting_up import set_up

        if isinstance(self.screen, RoundScreen):
            self.screen.converse(set_up(self.screen, self.walk_screen.stop, self.enclosure_added))

    def action_views(self) -> None:
        """The screens that show the colony as a whole: one of them by its letter."""
        if isinstance(self.screen, RoundScreen):
            self.screen.converse(self._views())

    def _views(self) -> Talk:
        name = yield Choice("Which view", [Option(letter, label, name) for letter, name, label in VIEWS])
        self.open_screen(name)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """The key for what is missing makes sense when something is."""
        if action == "missing":
            return True if self.shift.desk.missing is not None and self.shift.desk.keeper else None
        return super().check_action(action, parameters)

    def action_missing(self) -> None:
        """What stands on no sheet any more."""
        if isinstance(self.screen, RoundScreen):
            self.screen.converse(bring_back(self.shift))

    def action_ground(self) -> None:
        """Dark ground or light."""
        self.theme = NOON.name if self.current_theme.dark else DUSK.name

    def action_leave(self) -> None:
        """Quit."""
        if not isinstance(self.screen, RoundScreen) or self.screen.may_leave("q"):
            self.exit()

    def unwritten(self) -> list[str]:
        """Notes for the next keeper are written by signing."""
        return [f"notes for the next: “{first_words(self.notes)}”"] if self.notes else []

    @property
    def walk_stop(self) -> str | None:
        return self.walk_screen.stop

    def walk_to(self, subject: str) -> None:
        """Stand at the stop of a subject."""
        standing = self.shift.desk.standing
        place = subject if subject.startswith("enclosure/") else standing.places.get(subject)
        if subject.startswith("clutch/"):
            eggs = clutch(standing, subject)
            place = eggs.place or (animal(standing, eggs.dam).place if eggs.dam else None)
        if place is None or self.shift.walk().number(place) is None:
            self.open_subject(subject)
            return
        self.action_walk()
        self.walk_screen.stand_at(place, subject)

    def label_scanned(self, text: str) -> None:
        """Go there when the label is known, and when somebody is on shift."""
        if not self.shift.desk.keeper:
            return
        found = find(self.shift.desk.standing, text)
        if found and isinstance(self.screen, RoundScreen):
            self.walk_to(found[0].value)
        elif isinstance(self.screen, RoundScreen):
            self.screen.say(f"Nothing has the label “{first_words(text)}”.", "today")

    def shift_taken_over(self, say: str) -> None:
        """To the walk, where it goes on."""
        self.pop_screen()
        self.walk_screen.resume()
        if say:
            self.walk_screen.say(say)
        self.offer_what_was_typed()

    def shift_handed_over(self) -> None:
        """To the take-over, with the walk behind it."""
        self.action_walk()
        self.open_screen("take over")

    def enclosure_added(self, subject: str) -> None:
        """A first enclosure gives the walk its first stop."""
        if self.walk_screen.stop is None:
            self.walk_screen.stop = subject
        self.walk_screen.paint()

    # When the disk does not take it

    def write_elsewhere(self, drafts: Sequence[Draft]) -> str:
        """Write entries to a file in the home folder, as lines that `rounds log -` takes. Raises `OSError`."""
        desk = self.shift.desk
        now = desk.clock_time()
        entries = [draft.entry(desk.next_id(), now, desk.keeper or "?") for draft in drafts]
        lines = b"".join(rows.plain_line(entry) + b"\n" for entry in entries)
        try:
            return str(
                system.write_new_file(folders.home(), f"rounds-not-saved-{now:%Y%m%d-%H%M%S}", ".jsonl", lines)
            )
        except RoundsError as error:
            raise OSError(str(error)) from error


def screen_class(name: str) -> type[RoundScreen]:
    """The class of a screen in the list of screens, imported when it is first asked for."""
    file, _, kind = BY_NAME[name].place.partition(":")
    found: type[RoundScreen] = getattr(import_module(f"rounds.screens.{file}"), kind)
    return found
