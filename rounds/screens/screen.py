"""What every screen of the round shares: one board, what is asked in place, saving, and the key lines."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property, partial
from typing import TYPE_CHECKING, Any, ClassVar, Final

from rich.cells import cell_len
from textual import actions
from textual.app import ComposeResult
from textual.dom import DOMNode
from textual.geometry import Offset
from textual.widget import Widget

from rounds.logbook.entries import ROOM
from rounds.screens.board.beside import beside, widths
from rounds.screens.board.board import BLANK, Board, Line, Span, line, short, wrap
from rounds.screens.keys.key_map import KeyMap
from rounds.screens.keys.presses import Reach
from rounds.screens.keys.register import DIGITS, EVERYWHERE, Key, bindings, shown_key
from rounds.screens.keys.screens import BY_ID, BY_NAME
from rounds.screens.prompts.asks import Figure, Search, Talk
from rounds.screens.prompts.commands import commands
from rounds.screens.prompts.finding import find
from rounds.screens.prompts.words import Words
from rounds.screens.talk_screen import TalkScreen

if TYPE_CHECKING:
    from rounds.screens.subject_beside import SubjectBeside

#: On a screen with fewer lines blank ones are left away.
SMALL: Final = 16


#: What text is typed in takes some 20 ms to make: it waits so long, in s, that the first frame does not. A letter
#: typed before that has it made at once.
_FIELD_AFTER: Final = 0.3


class RoundScreen(TalkScreen):
    """A screen made of one board. Subclasses give `body`, and their name in the list of screens."""

    #: Its name in the list of screens (keys/screens.py), which brings its keys.
    NAME: ClassVar[str] = ""
    KEYS: ClassVar[tuple[Key, ...]] = ()
    #: Keys that it shares with others.
    COMMON: ClassVar[tuple[Key, ...]] = EVERYWHERE
    #: Ids of the keys shown at the bottom, most useful first; the rest stands in help.
    FOOTER: ClassVar[tuple[str, ...]] = ()
    #: The share of the width that the body keeps where something stands beside it.
    SHARE: ClassVar[float] = 0.5
    #: Whether whom the cursor is on stands beside the body on a wide screen.
    SHOWS_WHOM: ClassVar[bool] = False
    DEFAULT_CSS = "RoundScreen { layers: default text; }"
    AUTO_FOCUS = ""  # keys come by way of `pressed`; only the text field has the focus, while it is there

    def __init_subclass__(cls, **words: Any) -> None:
        if cls.NAME:
            listed = BY_NAME[cls.NAME]
            cls.KEYS, cls.COMMON = listed.keys, listed.common
            cls.BINDINGS = bindings(listed.keys, listed.common)
        super().__init_subclass__(**words)

    def __init__(self) -> None:
        super().__init__()
        self.board = Board(self.paint, self.ways_to, id="board")
        #: The first line of a long text that is shown.
        self.top = 0
        #: The key lines as they were last laid out, and for which keys and width.
        self._keys_for: tuple[tuple[str, ...], int] | None = None
        self._keys_shown: list[Line] = []
        #: What keys would be done to, and since when it has been on the screen, in s; None until it is painted.
        self._about: object = self
        self._about_since: float | None = None
        self._looked = False
        #: What was said of keys that came too soon, and what stood there before.
        self._too_soon = self._done_before = ""

    @property
    def key_map(self) -> KeyMap:
        """The keys as this keeper has them."""
        return self.app.key_map

    def label(self, id: str) -> str:
        """How a key is named, for a sentence that names it."""
        return self.key_map.label(BY_ID[id])

    def compose(self) -> ComposeResult:
        yield self.board

    def on_mount(self) -> None:
        """Once the screen has been seen for a moment, what text is typed in is made ready."""
        self.set_timer(_FIELD_AFTER, self.writing.make_ready)

    def on_screen_resume(self) -> None:
        """In front again: what was written on the screen that has been left counts here too."""
        self._about = self  # it has to be seen again
        self.paint()

    def on_screen_suspend(self) -> None:
        """Another screen is in front."""
        self.writing.hide()

    # What is shown

    def head(self, width: int) -> list[Line]:
        """The lines at the top."""
        return []

    def body(self, width: int, height: int) -> list[Line]:
        """What stands between the head and the keys, in at most `height` lines."""
        raise NotImplementedError

    @cached_property
    def subject_beside(self) -> SubjectBeside:
        """Whom the cursor is on, as it stands beside a list."""
        from rounds.screens.subject_beside import SubjectBeside  # the first stop waits for no page of an animal

        return SubjectBeside(self)

    def beside(self, width: int, height: int) -> list[Line] | None:
        """What stands beside the body on a wide screen, in so many cells and lines; None where nothing does."""
        if not self.SHOWS_WHOM:
            return None
        whom = self.whom()
        return [] if whom == ROOM else self.subject_beside.lines(whom, width, height)

    def _bodies(self, width: int, height: int) -> list[Line]:
        """The body, and from 110 columns on what stands beside it."""
        left, right = widths(width, self.SHARE)
        if right and (pane := self.beside(right, height)) is not None:
            return beside(self.body(left, height), pane, left, right, height)
        return self.body(width, height)

    def paint(self) -> None:
        """Lay out the lines again and repaint."""
        width, height = self.board.size.width, self.board.size.height
        if not width or not height:
            return
        head = self.head(width)
        if height < SMALL:
            head = [] if self.ask is not None and self.ask.whole else [one for one in head if one]
        if self.ask is not None:
            warned = self.notice_lines(width)
            asked = [*self.ask.lines(width, max(1, height - len(head) - len(warned))), *warned]
            keys: list[Line] = []
        else:
            asked = (
                [line(" ", Span(one, self.message_style)) for one in short(wrap(self.message, width - 2), 4)]
                if self.message
                else []
            )
            keys = self.key_lines(width)
        if self.ask is not None and self.ask.whole:
            shown = [*head, *asked]
        else:
            gap: list[Line] = [BLANK] if asked and height >= SMALL else []
            room = max(0, height - len(head) - len(gap) - len(asked) - len(keys))
            body = self._bodies(width, max(1, room))[:room]
            body += [BLANK] * (room - len(body))
            shown = [*head, *body, *gap, *asked, *keys]
        # Where there is no room for all of it, what is asked and the keys stay.
        self.board.show(shown[max(0, len(shown) - height) :])
        self.writing.place(self.ask, self.board.field)
        about = self.ask if self.ask is not None and self.ask.to_be_seen else self.stands_at
        if about != self._about:
            self._about, self._about_since, self._looked = about, None, False
            self.call_after_refresh(self._painted, about)

    @property
    def stands_at(self) -> object:
        """What the screen's own keys are done to, where that has to be seen first."""
        return None

    def _painted(self, about: object) -> None:
        """This is on the screen now."""
        if about == self._about and self._about_since is None:
            self._about_since = self.app.monotonic()

    @property
    def is_painted(self) -> bool:
        """Whether what stands here now is on the screen already."""
        return self._about_since is not None

    def key_lines(self, width: int) -> list[Line]:
        """The keys that matter here, in at most two lines; the last one (help) always finds room."""
        asked = (self.footer(), width)
        if asked != self._keys_for:
            ids = list(asked[0])
            while len(lines := self._packed(ids, width)) > 2 and len(ids) > 1:
                del ids[-2]
            self._keys_for, self._keys_shown = asked, lines[:2]
        return self._keys_shown

    def _packed(self, ids: Sequence[str], width: int) -> list[Line]:
        by_id = {key.id: key for key in (*self.KEYS, *self.COMMON)}
        lines: list[Line] = []
        row: list[Span] = []
        for key in (by_id[id] for id in ids):
            label = self.key_map.label(key)
            first = self.key_map.keys(key)[:1] if key.keys != DIGITS else ()
            more = [Span("  " if row else " "), Span(label, "key", first), Span(f" {key.word}", "", first)]
            if row and sum(cell_len(span.text) for span in (*row, *more)) >= width:
                lines.append(tuple(row))
                row = []
                more[0] = Span(" ")
            row += more
        return [*lines, tuple(row)] if row else lines

    def footer(self) -> tuple[str, ...]:
        """Ids of the keys to show now."""
        return self.FOOTER

    def window(self, lines: Sequence[Line], height: int) -> list[Line]:
        """The lines that fit, from where the keeper scrolled to; never beyond the end."""
        self.top = max(0, min(self.top, len(lines) - height))
        return list(lines[self.top : self.top + height])

    # Mouse

    def get_widget_and_offset_at(self, x: int, y: int) -> tuple[Widget | None, Offset | None]:
        """What is under the pointer; on the board a cell is its own place in the text."""
        widget, offset = super().get_widget_and_offset_at(x, y)
        return (widget, Offset(x, y) - widget.region.offset) if widget is self.board else (widget, offset)

    def copy(self) -> None:
        """Copy what is selected, in the text field or on the board; where nothing is, say how to leave."""
        selected = self.writing.selected or self.get_selected_text()
        if selected:
            self.app.copy_to_clipboard(selected)
            self.tell("Copied.")
        elif self.unsaved:
            self.tell("Say first what becomes of the entry; then q, or Ctrl-Q, leaves.")
        elif self.ask is not None:
            self.tell("To leave: Ctrl-Q. It says first what would be dropped.")
        else:
            self.tell("To leave: q, or Ctrl-Q. All that was acknowledged is on disk already.")

    def ways_to(self, subject: str) -> tuple[str, ...]:
        """The keys that lead from where the cursor is to a subject that is drawn; none where no key does."""
        return ()

    def steps(self, up: str, down: str, number: int) -> tuple[str, ...]:
        """The keys that move a cursor so many lines down, or up where it is less than 0."""
        key = self.key_map.keys(BY_ID[down if number > 0 else up])[0]
        return (key,) * abs(number)

    # Keys

    def reach(self, key: str, character: str | None) -> Reach:
        """How far this key would reach now: as an answer to what is asked, or else as the screen's own."""
        if self.ask is not None:
            if key == "f1" and not self.unsaved:
                return "moves"
            # Where something was typed in this talk, Enter leaves the rest of it out as fast as it likes.
            typed = self.has_typed and isinstance(self.ask, Figure | Words) and not self.ask.to_be_seen
            leaves_out = key == "enter" and typed
            return "ends" if leaves_out else self.ask.reach(key, character)
        own = self.own_key(key)
        return own.reach if own is not None else "moves"

    def own_key(self, key: str) -> Key | None:
        """What this key is on this screen, when nothing is asked."""
        bound = self.bound(key)
        id = bound.binding.id or "" if bound is not None else ""
        return BY_ID.get(id) or BY_ID.get(id.rpartition("-")[0])  # each digit has an id of its own

    def is_seen(self, key: str, moment: float) -> bool:
        looked = self._looked_at(moment)
        return looked or not self.has_to_be_seen(key)

    def has_to_be_seen(self, key: str) -> bool:
        """Whether what this key would be done to has to be seen before."""
        return self.ask is not None and self.ask.to_be_seen

    def _looked_at(self, moment: float) -> bool:
        """Whether a keeper can have looked at what stands here by this moment, in s: with a still hand."""
        since = self._about_since
        if since is not None and not self._looked:
            self._looked = moment - max(since, self.app.pressed_before) >= self.app.seen_seconds
        return self._looked

    def too_soon(self, key: str) -> None:
        """Say that keys come too soon to count. What was done before is said first, and stays."""
        named = "-".join(one.capitalize() for one in key.split("+")) if "+" in key else shown_key(key)
        many = self.app.presses.refused
        if self.message != self._too_soon:
            self._done_before = self.message
        if self.ask is None and (done := self._done_before):
            came = f"{many} keys came too soon, {named} last" if many > 1 else f"{named} came too soon, or is held"
            self._too_soon = f"{done}{'' if done.endswith('.') else '.'} Then {came}: let go for a second."
        else:
            counted = f", {many} keys" if many > 1 else ""
            self._too_soon = f"Not taken{counted}: {named} came too soon, or is held. Let go for a second."
        if self.ask is None:
            self.say(self._too_soon, "today")
        else:
            self.tell(self._too_soon)

    # Keys that screens share

    def action_help(self) -> None:
        """Show what the keys of this screen do."""
        typing = self.ask is not None and self.ask.in_field is not None
        self.app.open_screen("help", self.NAME, *(["text"] if typing else []))

    def action_back(self) -> None:
        """Back to the screen before."""
        self.app.pop_screen()

    def action_scroll(self, step: int) -> None:
        """Scroll a long text by so many lines."""
        self.top = max(0, self.top + step)
        self.paint()

    def action_jump(self) -> None:
        """Jump by a few letters or a scanned label."""
        self.app.listen()  # a stop that another desk set up just now is found by its letters
        self.converse(self._jump())

    def _jump(self) -> Talk:
        # What another desk writes meanwhile is found too.
        subject = yield Search("Jump to", lambda typed: find(self.shift.desk.standing, typed))
        if subject:
            self.then(partial(self.app.walk_to, subject))

    def action_commands(self) -> None:
        """What can be done here, by name."""
        self.converse(self._command())

    def _command(self) -> Talk:
        keys = [key for key in (*self.KEYS, *self.COMMON) if key.keys != DIGITS and key.id != "commands"]
        possible = [key for key in keys if self._makes_sense(key)]
        key = yield Search("Command", partial(commands, possible, self.key_map.label))
        self.then(partial(self._carry_out, key))

    def _makes_sense(self, key: Key) -> bool:
        target, name, parameters = self._action(key)
        return bool(target.check_action(name, parameters))

    def _carry_out(self, key: Key) -> None:
        target, name, parameters = self._action(key)
        if target.check_action(name, parameters):
            getattr(target, f"action_{name}")(*parameters)

    def _action(self, key: Key) -> tuple[DOMNode, str, tuple[Any, ...]]:
        """Who does what a key does (the app or this screen), and the name and parameters of it."""
        where, name, parameters = actions.parse(key.action)
        return self.app if where == "app" else self, name, parameters
