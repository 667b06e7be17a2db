"""The walk as lines, but for the stop itself: its head, how it looks before the first stop and after the last."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime

from rich.cells import cell_len

from rounds.desk.end_of_shift import PRESSING
from rounds.desk.shift import Shift
from rounds.due.line import DueLine
from rounds.due.matter import Level
from rounds.logbook.entries import StopWalked
from rounds.paper.plain_text import cut, shown
from rounds.paper.words import many
from rounds.screens.board.board import BLANK, Line, Span, fit, line, wrap
from rounds.screens.views.stop import STYLE_OF_LEVEL
from rounds.standing.clutch import called
from rounds.standing.enclosure import enclosure
from rounds.standing.fold import Standing


def head_line(shift: Shift, stop: str | None, now: datetime, width: int) -> Line:
    """Where, which walk, who is on shift, how far, and how many matters press."""
    walk = shift.walk()
    counts = shift.counts() if shift.complete else {}
    name, keeper, part = shift.desk.settings.name, shift.desk.keeper, shift.part
    done, many_stops = walk.progress
    number = walk.number(stop) if stop else None
    where = f"stop {number} of {many_stops}, {done} done" if number else f"{done} of {many_stops} done"
    spans: list[Span] = []
    for level in (Level.VET_NOW, Level.VET, Level.TODAY):
        if counts.get(level):
            spans += [Span("  "), Span(f"{counts[level]} {level.word}", STYLE_OF_LEVEL[level])]
    spans.append(Span(" "))
    # Where there is little room, the clock goes first, then words; who is on shift and what presses stay.
    tries = (
        (f" {name}   {part} walk   {keeper}   {now:%H:%M}", where),
        (f" {name}   {part} walk   {keeper}", where),
        (f" {name}   {part}   {keeper}", where),
        (f" {cut(name, 14)}   {part}   {keeper}", where),
        (f" {part}   {keeper}", where),
        (f" {keeper}", f"{number}/{many_stops}" if number else f"{done}/{many_stops} done"),
    )
    for left, right in tries:
        room = width - sum(len(span.text) for span in spans) - len(right) - 2
        if cell_len(shown(left)) <= room:
            break
    return (Span(fit(left, max(1, room)), "title"), Span(f"  {right}"), *spans)


def before_the_first(label: Callable[[str], str], width: int) -> list[Line]:
    """Nothing is set up yet: what to do."""
    text = (
        f"No enclosure is set up yet. {label('set-up')} sets up the first one, and then registers the animals "
        "that live in it. What is set up here is walked in the order of rack and name, or as colony.toml says."
    )
    return [line(" ", one) for one in wrap(text, width - 2)]


def after_the_last(shift: Shift, label: Callable[[str], str], width: int, height: int) -> list[Line]:
    """The walk is done, or its end was reached: what is still open."""
    walk = shift.walk()
    standing = shift.desk.standing
    done, all_stops = walk.progress
    title = f"The {shift.part} walk is done" if walk.finished else f"The end of the {shift.part} walk"
    undone = [(stop, due) for stop in walk.order for due in shift.lines(stop) if due.left_out is None]
    # What an animal waits for stands first; while any of it is open, the end is not shown as good.
    undone.sort(key=lambda one: one[1].care not in PRESSING)
    style = "today" if undone and undone[0][1].care in PRESSING else "good"
    lines: list[Line] = [line(" ", Span(f"{title}: {many(done, 'stop')} of {all_stops}.", style)), BLANK]
    if not undone:
        return lines
    lines.append(line(" ", Span(f"Still open: {many(len(undone), 'line')}", "today")))
    readings = [due for _, due in undone if due.care == "climate"]
    if len(readings) > 3:
        undone = [(stop, due) for stop, due in undone if due.care != "climate"]
        lines.append(line("   ", f"climate not read at {many(len(readings), 'stop')}"))
    room = max(1, height - 8)
    for stop, due in undone[:room]:
        who = "" if due.about == stop else f"  {called(standing, due.about)}"
        late = f"   {many(due.late_days, 'day')} late" if due.late_days > 0 else ""
        lines.append(line("   ", Span(fit(f"{standing.name(stop)}  {due.care}{who}{late}", width - 4))))
    if len(undone) > room:
        lines.append(line("   ", Span(f"and {len(undone) - room} more; {label('hand-over')} tells all", "quiet")))
    return lines


def done_before(walked: StopWalked, looks: Sequence[DueLine], label: Callable[[str], str]) -> str:
    """A stop that was done on this walk: by whom, and how it is done again or passed."""
    still = f" Still open: {', '.join(dict.fromkeys(due.care for due in looks))}." if looks else ""
    on = label("next").split()[0]
    return (
        f"Done at {walked.at:%H:%M} by {walked.by}.{still} {label('stop')} again does it again; {on} only goes on."
    )


def still_open(standing: Standing, looks: Sequence[DueLine], label: Callable[[str], str]) -> str:
    """What an animal still waits for at a stop, and how it is passed or left out."""
    named = ", ".join(
        due.care if due.about == due.place else f"{due.care} {called(standing, due.about)}" for due in looks[:4]
    )
    more = f" and {len(looks) - 4} more" if len(looks) > 4 else ""
    them = "it" if len(looks) == 1 else "them"
    out = "it out" if len(looks) == 1 else "one out"
    return (
        f"Still open: {named}{more}. {label('stop')} again leaves {them} open; {label('leave-out')} leaves {out}."
    )


def stop_head(shift: Shift, stop: str, width: int) -> list[Line]:
    """The enclosure stood at, what it is, which one comes next, and who has walked it on this walk."""
    standing, walk = shift.desk.standing, shift.walk()
    place, here = enclosure(standing, stop), standing.living_in(stop)
    words = [place.what, place.set_up.where if place.set_up and place.set_up.where else ""]
    if len(here) > 1:
        words.append(f"{len(here)} live here")
    elif not here and place.holds_animals:
        words.append("nobody lives here")
    following = walk.after(stop)
    right = f"next  {standing.name(following)} " if following else "the last stop "
    title = f" {place.name}"
    middle = fit(f"  {', '.join(word for word in words if word)}", max(1, width - len(title) - len(right) - 2))
    first = line(Span(title, "name"), Span(middle), Span("  " + right, "quiet"))
    walked = walk.done.get(stop, ())
    if not walked:
        return [first, BLANK]
    by = " and ".join(f"{entry.by} {entry.at:%H:%M}" for entry in walked)
    twice = f"  done {len(walked)} times" if len(walked) > 1 else "  done"
    return [first, line(Span(f"{twice} on this walk: {by}", "done"))]
