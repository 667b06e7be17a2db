"""A subject's page as lines: how it stands, its weights, the season, and each entry. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from rounds.due.hatching import hatch_forecast
from rounds.logbook.entries import Corrected, EnclosureSetUp, Entry
from rounds.paper.clutch_words import clutch_sum
from rounds.paper.drawing import weight_line
from rounds.paper.females import page_lines
from rounds.paper.hatching import hatch_values, hot_caution
from rounds.paper.hatching import window_words as hatch_window_words
from rounds.paper.incubator import drawing, scale, shelf_head, shelf_values
from rounds.paper.said import said
from rounds.paper.subject_head import NEVER_HERE, breeding_words, head_text, head_values, past_words
from rounds.paper.timeline import season
from rounds.paper.values import Values
from rounds.paper.words import age_words, date_words, day_words, phase_words, span_words, time_words
from rounds.paper.year import year_lines
from rounds.rules.house import House
from rounds.screens.board.board import BLANK, Line, Span, fit, line, short, wrap
from rounds.standing.animal import animal
from rounds.standing.census import census
from rounds.standing.clutch import called, clutch
from rounds.standing.clutch_young import young_of
from rounds.standing.enclosure import enclosure
from rounds.standing.female import female
from rounds.standing.fold import Standing
from rounds.standing.group import group
from rounds.standing.shelf_readings import has_own
from rounds.standing.shelves import shelf_of
from rounds.standing.weighings import weighings

#: So many of those who live in an enclosure are named.
_MOST_RESIDENTS = 6
#: From so many rows on a line about her breeding may take more than one.
_ROOMY = 30
#: So many milestones make the season's line, the newest ones.
_MOST_MILESTONES = 6
#: So many lines tell of its year, beside the one that sums up what is looked at before pairing.
_MOST_OF_YEAR = 3


def subject_head(
    standing: Standing,
    house: House,
    now: datetime,
    subject: str,
    entries: Sequence[Entry],
    width: int,
    height: int = 24,
    *,
    drawn: bool = True,
) -> list[Line]:
    """How a subject stands. `entries` are all on its page, newest first; `height` is that of all of it.

    Where there is little room the weights are not `drawn`: half a drawing says nothing.
    """
    sort = subject.partition("/")[0]
    if sort == "enclosure":
        return _enclosure_lines(standing, house, now, subject, width, height)
    if sort == "clutch":
        return _clutch_lines(standing, house, now, subject, width)
    if sort == "supply":
        return _wrapped(head_text({"sort": sort, **head_values(standing, house, now, subject)}, now), width)
    if sort not in ("animal", "group"):
        return [line(" ", Span("what was written about the room as a whole", "quiet"))]
    return [
        *_life_lines(standing, house, now, subject, width, height),
        *(_weight_lines(standing, house, subject, width) if drawn else []),
        *_season_lines(standing, house, now, subject, entries, width),
    ]


def entry_line(
    standing: Standing,
    now: datetime,
    subject: str,
    entry: Entry,
    corrected: Corrected | None,
    width: int,
    mark: bool,
) -> Line:
    """One entry on a subject's page; `corrected` is the correction that took it back, `mark` the cursor."""
    who = "" if entry.about == subject else f"{called(standing, entry.about)}: "
    text = f"{who}{said(standing, entry)}" + (f": {entry.note}" if entry.note else "")
    if corrected is not None:
        text = f"(corrected {time_words(corrected.at, now)} {corrected.by}) {text}"
    late = f", written {time_words(entry.written, now)}" if entry.written else ""
    when = f"{time_words(entry.at, now)} {entry.by}"
    style = "cursor" if mark else "quiet" if corrected is not None else ""
    return line(
        Span(" > " if mark else "   ", "key"),
        Span(fit(when, 20) + " ", "quiet"),
        Span(fit(text + late, width - 25), style),
    )


def _life_lines(
    standing: Standing, house: House, now: datetime, subject: str, width: int, height: int
) -> list[Line]:
    found = head_values(standing, house, now, subject)
    one = group(standing, subject) if subject.startswith("group/") else animal(standing, subject)
    if not found["lived_here"]:
        told = [NEVER_HERE, found["age"], *past_words(found, now)]
        return [line(" ", Span(found["sex_words"], "name"), f"   {standing.name(subject)}"), *_wrapped(told, width)]
    words = [found["state"]]
    if one.gone is not None:
        words.append(f"not here since {date_words(one.gone.at, now)}: {said(standing, one.gone)}")
    words += past_words(found, now)
    if "breeding" in found:
        words += breeding_words(found, now)
    if (vet := one.last_vet) is not None:
        words.append(f"vet {date_words(vet.at, now)}: {vet.outcome} {vet.instructions}".strip())
    first = f"   {found['age']}   {found['weight']}   {found['trend']}"
    shown = [line(" ", Span(str(found.get("count", found["sex_words"])), "name"), first), *_wrapped(words, width)]
    shown += _breeding_lines(found["breeding"], width, height) if "breeding" in found else []
    return shown + _year_lines(year_lines(standing, house, now, subject), width, height)


def _year_lines(told: Sequence[str], width: int, height: int) -> list[Line]:
    """The sum before pairing in a row of its own; pairing, winter and recovery in what room there is."""
    if not told:
        return []
    first, *others = told
    most = _MOST_OF_YEAR if height >= _ROOMY else 1
    rows = short(wrap("   ".join(others), width - 2), most) if others else []
    return [line(" ", fit(first, width - 2)), *(line(" ", Span(fit(row, width - 2), "quiet")) for row in rows)]


def _breeding_lines(her: Values, width: int, height: int) -> list[Line]:
    """When she lays, gravid or not, and the scale: each with its label, on a small screen in one row."""
    shown: list[Line] = []
    for label, text in page_lines(her):
        rows = wrap(text, width - 12) if height >= _ROOMY else [fit(text, width - 12)]
        for row, part in enumerate(rows):
            shown.append(line(" ", Span(fit(label if row == 0 else "", 10), "quiet"), part))
    return shown


def _weight_lines(standing: Standing, house: House, subject: str, width: int) -> list[Line]:
    one = group(standing, subject) if subject.startswith("group/") else animal(standing, subject)
    drawn = weight_line(weighings(one, house.weighing_rule), width - 14)
    if not drawn:
        return []
    *blocks, scale = drawn
    return [BLANK, *(line(" ", Span(text, "good")) for text in blocks), line(" ", Span(scale, "quiet"))]


def _season_lines(
    standing: Standing, house: House, now: datetime, subject: str, entries: Sequence[Entry], width: int
) -> list[Line]:
    milestones = season(reversed(entries), _MOST_MILESTONES, house.breeding_days.nesting_gap)
    if not milestones:
        return []
    words = [
        f"{span_words(entry.at, last.at, now)} "
        f"{'' if entry.about == subject else called(standing, entry.about) + ' '}"
        f"{said(standing, entry)}"
        for entry, last in milestones
    ]
    rows = short(wrap("season: " + "  ·  ".join(words), width - 2), 4)
    return [BLANK, *(line(" ", Span(row, "quiet")) for row in rows)]


def _enclosure_lines(
    standing: Standing, house: House, now: datetime, subject: str, width: int, height: int
) -> list[Line]:
    found, one = head_values(standing, house, now, subject), enclosure(standing, subject)
    up = one.page.last(EnclosureSetUp)
    rack = f"rack {up.rack}" if up and up.rack else ""
    rack = "" if rack in found["where"] else rack
    words = [found["what"], found["where"], rack, "" if found["here"] else "taken down"]
    shown = [line(" ", ", ".join(word for word in words if word))]
    for who in found["residents"][:_MOST_RESIDENTS]:
        shown.append(
            line(
                "   ",
                fit(str(who.get("count", who["sex"])), 4),
                Span(fit(who["name"], 14), "name"),
                fit(f"{who['age']}  {who['weight']}  {who['state']}", width - 24),
            )
        )
    more = len(one.living) - _MOST_RESIDENTS
    if more > 0:
        shown.append(line("   ", Span(f"and {more} more", "quiet")))
    for box in found["egg_boxes"][:_MOST_RESIDENTS]:
        from rounds.paper.boxes import box_facts  # late: no start has to wait for it

        name = "" if box["box"] == subject else f"{box['name']}  "
        if len(found["egg_boxes"]) > 1 and height < _ROOMY:
            # A row for each: the page of the box has its lid.
            shown.append(line(" ", fit(f"{name}{box['says']}   {box_facts(box, now)}", width - 2)))
            continue
        shown += _wrapped([f"{name}{box['says']}", box_facts(box, now), f"lid: {box['lid']}"], width)
    inside = shelf_of(standing, subject) != subject
    if not one.holds_animals and (not inside or has_own(standing, subject)):
        shelf, around = shelf_values(standing, house, now, subject), scale(house, now)
        if shelf["now_c"] is not None:
            shown += _wrapped(shelf_head({**shelf, "name": "inside it" if inside else "now"}, around, now), width)
            shown += [line(" ", Span(row, "quiet")) for row in drawing(shelf, around, width - 4)]
    elif one.climate:
        last = one.climate[-1]
        shown.append(line(" ", Span(f"{day_words(last.at, now)} {last.by}: {last.phrase()}", "quiet")))
    return shown


def _clutch_lines(standing: Standing, house: House, now: datetime, subject: str, width: int) -> list[Line]:
    eggs = clutch(standing, subject)
    words = [
        f"dam {standing.name(eggs.dam)}" if eggs.dam else "dam not known",
        f"sire {standing.name(eggs.sire)}" if eggs.sire else "",
    ]
    if eggs.dam:
        words.append(phase_words(female(standing, eggs.dam, house.breeding_days), now))
    words.append("" if eggs.complete else "not said to be complete")
    if eggs.begun_at:
        words.append(f"begun {date_words(eggs.begun_at, now)} ({age_words(eggs.begun_at.date(), now)})")
    words += [eggs.boxed.medium] if eggs.boxed else []
    hatch = hatch_values(hatch_forecast(standing, house, now, subject), house)
    caution = hot_caution(hatch, house.number("climate.incubator_alarm_c"))
    return [
        *_wrapped(words, width),
        *(line for text in (census(standing, subject).words, clutch_sum(eggs)) for line in _wrapped([text], width)),
        *_wrapped([f"young: {young_of(standing, subject).says}"] if eggs.hatched else [], width),
        *_wrapped([told] if (told := hatch_window_words(hatch, now)) else [], width),
        *(line(" ", Span(one, "today")) for one in (wrap(caution, width - 2) if caution else [])),
    ]


def _wrapped(words: Sequence[str], width: int) -> list[Line]:
    """Words apart from each other, in as many lines as they take; empty ones are left out."""
    return [line(" ", text) for text in wrap("   ".join(word for word in words if word), width - 2)]
