"""What was saved last is taken back by corrections: one save, or a whole run of stops that no one walked."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from typing import Final

from rounds.desk.adding_up import without
from rounds.desk.slips import vanishing
from rounds.desk.young_door import sums_broken
from rounds.logbook.entries import Entry, StopWalked
from rounds.logbook.rows import ms_of
from rounds.paper.said import said
from rounds.paper.words import first_words, time_words
from rounds.rules.house import House
from rounds.screens.prompts.asks import Talk
from rounds.screens.prompts.choices import Confirm, Option
from rounds.screens.prompts.letters import Letters
from rounds.screens.prompts.saving import Save
from rounds.screens.record.host import Host
from rounds.standing.clutch import called
from rounds.standing.fold import Standing

#: Stops done one right after the other, save by save.
Run = Sequence[Sequence[Entry]]
#: Has the walk stand at a stop.
StandAt = Callable[[str], None]

#: In so many times `walk.legs_seconds` keys that came too soon speak of an elbow. No source: our own choice.
_LONG: Final = 10


class Legs:
    """How the last stops were done. As no one walks, and it is asked whether they were walked."""

    def __init__(self) -> None:
        #: Of the last stops since it was last answered: when the key was pressed, in s, and how many keys had come
        #: too soon in all by then.
        self._done: list[tuple[float, int]] = []
        #: From the first of them to the key that asks, in s.
        self.took = 0.0

    def did(self, moment: float, too_soon: int) -> None:
        """A stop was done by a key pressed at this moment, in s, after so many in all that came too soon."""
        self._done.append((moment, too_soon))

    def overtaken(self, moment: float, too_soon: int, house: House) -> bool:
        """Whether no one walks as the last stops were done, as a key at this moment asks for another.

        They were faster than legs; or more keys came too soon between them than stops were done: an elbow, and no
        thumb that goes on evenly.
        """
        many = int(house.number("walk.legs_stops"))
        self._done = self._done[-many:]
        if len(self._done) < many:
            return False
        since, refused = self._done[0]
        self.took = moment - since
        legs = house.number("walk.legs_seconds")
        # Keys too soon over minutes of weighing and noting say nothing of the stops.
        return self.took < legs or (self.took < _LONG * legs and too_soon - refused > many)

    def of(self, run: Run) -> Run:
        """The last stops of a run: those that are asked about."""
        kept = list(run)
        while len(stops_of(kept)) > len(self._done):
            del kept[0]
        return kept

    def rest(self) -> None:
        """It was answered: count again from here."""
        self._done.clear()


def were_walked(screen: Host, legs: Legs, goes_on: str, stand_at: StandAt) -> Talk:
    """Ask whether the last stops were walked; else take all of them back. `goes_on` names the key of a stop."""
    run = legs.of(screen.shift.desk.last_run(legs.took))
    many = len(stops_of(run))
    if not many:  # taken back since
        legs.rest()
        screen.say(f"{goes_on} goes on.")
        return
    walked, taken = Option("y", "yes, all of them", True), Option("u", f"no, take all {many} back", False)
    yes = yield Letters([f"{run_words(screen, run)}. Were they walked?"], [walked, taken])
    legs.rest()
    if yes:
        screen.say(f"{goes_on} goes on.")
    else:
        yield from take_back_run(screen, run, stand_at)


def take_back(screen: Host, wrong: Sequence[Entry]) -> Talk:
    """Take back what was saved last; it is shown before."""
    shift = screen.shift
    standing = shift.desk.standing
    after = without(standing, wrong, shift.now())
    refused = vanishing(after, wrong, standing) or sums_broken(standing, after, wrong)[0]
    if refused:
        screen.say(refused, "today")
        return
    entries = _in_words(standing, wrong)
    first = time_words(wrong[0].written or wrong[0].at, shift.now())
    shown = entries if len(entries) <= 8 else [*entries[:7], f"and {len(entries) - 7} more"]
    yes = yield Confirm([f"Take back what you wrote at {first}?", *shown], yes="take it back", no="leave it")
    if yes:
        yield from _taking_back(screen, wrong)


def _taking_back(screen: Host, wrong: Sequence[Entry]) -> Talk:
    entries = _in_words(screen.shift.desk.standing, wrong)
    yield Save(write=lambda: screen.shift.take_back(wrong), says=[f"taken back: {one}" for one in entries])
    screen.say(f"Taken back: {'; '.join(entries)}", "good")


def _in_words(standing: Standing, wrong: Sequence[Entry]) -> list[str]:
    return [f"{called(standing, entry.about)}: {in_words(standing, entry)}" for entry in wrong]


def _written(entry: Entry) -> datetime:
    """When it was written, in UTC."""
    ms = ms_of(entry.id)
    return datetime.fromtimestamp(ms / 1000, UTC) if ms is not None else entry.written or entry.at


def take_back_last(screen: Host, stand_at: StandAt | None = None) -> None:
    """Take back what this keeper saved last, if there is anything: the key of the walk and of the pages.

    Where the last saves are stops done one right after the other, all of them are offered too; `stand_at` is told
    where these began.
    """
    wrong, run = screen.shift.desk.last_save(), screen.shift.last_run()
    if not wrong:
        screen.say("There is nothing of yours to take back.", "quiet")
        return
    screen.converse(_last_or_run(screen, run, stand_at) if len(stops_of(run)) > 1 else take_back(screen, wrong))


def stops_of(run: Run) -> list[str]:
    """The stops that were done in a run, in the order of writing."""
    return [entry.about for save in run for entry in save if isinstance(entry, StopWalked)]


def run_words(screen: Host, run: Run) -> str:
    """How many stops a run has, in how long, and which."""
    standing, stops = screen.shift.desk.standing, stops_of(run)
    seconds = round((_written(run[-1][-1]) - _written(run[0][0])).total_seconds())
    names = [standing.name(stop) for stop in dict.fromkeys(stops)]
    shown = ", ".join(names if len(names) <= 8 else [*names[:3], "…", *names[-2:]])
    return f"{len(stops)} stops in {seconds} s: {shown}"


def _last_or_run(screen: Host, run: Run, stand_at: StandAt | None) -> Talk:
    standing, now, stops = screen.shift.desk.standing, screen.shift.now(), stops_of(run)
    last = ", ".join(said(standing, entry) for entry in run[-1])
    about = standing.name(stops[-1])
    since, until = (_written(one).astimezone(now.tzinfo) for one in (run[0][0], run[-1][-1]))
    entries = sum(map(len, run))
    says = [
        "Take back the last save, or the whole run?",
        f"last: {about}: {last}",
        f"run: {run_words(screen, run)}; {entries} entries, {since:%H:%M:%S} to {until:%H:%M:%S}",
    ]
    options = [
        Option("enter", "the last alone", "last"),
        Option("r", f"the run, all {len(stops)} stops", "run"),
        Option("n", "leave it", ""),
    ]
    what = yield Letters(says, options, to_be_seen=False)
    if what == "run":
        yield from take_back_run(screen, run, stand_at)
    elif what == "last":
        yield from _taking_back(screen, run[-1])


def take_back_run(screen: Host, run: Run, stand_at: StandAt | None = None) -> Talk:
    """Take a whole run of stops back, in one save; then stand where it began."""
    stops, entries = stops_of(run), [entry for save in run for entry in save]
    told = f"{len(stops)} stops, {len(entries)} entries"
    saved = yield Save(write=lambda: screen.shift.take_back(entries), says=[f"taken back: {told}"])
    if saved:
        if stand_at is not None:
            stand_at(stops[0])
        screen.say(f"Taken back: {told}. All stay readable.", "good")


def in_words(standing: Standing, entry: Entry) -> str:
    """An entry in words, with the first words of its note."""
    return said(standing, entry) + (f": {first_words(entry.note)}" if entry.note else "")
