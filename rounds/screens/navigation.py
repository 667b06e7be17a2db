"""The app as its screens know it: what they share, and the way from one to another."""

from __future__ import annotations

from collections.abc import Sequence

from rounds.desk.shift import Shift
from rounds.logbook.drafts import Draft
from rounds.screens.keys.dispatch import KeyedApp


class Navigation(KeyedApp[None]):
    """What a screen may ask of the app. A screen names another one and never imports it."""

    #: The shift under way. Screens read it, and write through it.
    shift: Shift
    #: Initials given on the command line. Their keeper still takes over, and reads the vet matters.
    offered: str
    #: Notes for the next keeper, until they are signed with the hand-over.
    notes: str

    def open_screen(self, name: str, *about: str) -> None:
        """To a screen by its name in the list of screens; `about` is what it is opened for."""
        raise NotImplementedError

    def open_subject(self, subject: str) -> None:
        """To a subject's page."""
        self.open_screen("page", subject)

    def walk_to(self, subject: str) -> None:
        """Stand at the stop of a subject."""
        raise NotImplementedError

    @property
    def walk_stop(self) -> str | None:
        """The stop where the walk stands."""
        raise NotImplementedError

    def listen(self) -> None:
        """Take in what other desks wrote, now and not at the next look."""
        raise NotImplementedError

    def label_scanned(self, text: str) -> None:
        """A label was scanned while nothing is asked: go to what it is on."""
        raise NotImplementedError

    def typed_changed(self) -> None:
        """What was typed is on disk, or dropped: it need not be kept for the next start."""
        raise NotImplementedError

    def shift_taken_over(self, say: str) -> None:
        """A keeper is on shift now: go to the walk, and say this sentence if there is one."""
        raise NotImplementedError

    def shift_handed_over(self) -> None:
        """No one is on shift any more: go to the take-over."""
        raise NotImplementedError

    def write_elsewhere(self, drafts: Sequence[Draft]) -> str:
        """Write what the disk did not take to a file in the home folder; its path. Raises `OSError`."""
        raise NotImplementedError
