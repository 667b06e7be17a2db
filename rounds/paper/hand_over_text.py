"""The hand-over sheet on 80 columns of plain text, as it is signed, printed and read by the next keeper."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from typing import Final

from rounds.paper.page import Page
from rounds.paper.supplies import order_words
from rounds.paper.today import matter_counts
from rounds.paper.values import Values, printed
from rounds.paper.words import CAUTION, date_words, left_words, many

#: Letters of a sheet: somewhat less than an entry `handed_over` holds.
LARGEST: Final = 190_000


def hand_over_text(sheet: Values, now: datetime) -> str:
    """The sheet as 80 columns of text."""
    page = Page()
    walk = sheet["walk"]
    page.title(f"{sheet['colony']}   hand-over", f"{now:%a} {now.day} {now:%b %Y %H:%M}")
    since = printed(sheet["since"], now)
    page.text(
        f"{sheet['by'] or '…'}{' to ' + sheet['to'] if sheet['to'] else ''}   on shift since {since}   "
        f"{walk['part']} walk: {walk['done']} of {many(walk['stops'], 'stop')}"
    )
    _matters(page, sheet["matters"], now)
    _females(page, sheet["females"], now)
    _list(page, "Readings out of range", [f"{_who(one)}: {', '.join(one['out'])}" for one in sheet["readings"]])
    _list(page, "Agreed", [_agreed(one, now) for one in sheet["agreed"]])
    _list(page, "Order", order_words(sheet["order"]))
    _left(page, sheet)
    _work(page, sheet, now)
    _list(page, "Sheets to look at", sheet["troubles"])
    page.heading("For the next keeper")
    page.note(sheet["notes"] or "(nothing)")
    page.blank()
    page.text(CAUTION)
    return _fitting(str(page))


def _fitting(text: str) -> str:
    """The sheet as it can be signed: of a very large room the end of it is left to the logbook."""
    if len(text) <= LARGEST:
        return text
    return text[:LARGEST].rpartition("\n")[0] + "\n(the sheet is cut here; the rest stands in the logbook)\n"


def _list(page: Page, heading: str, texts: Sequence[str]) -> None:
    if texts:
        page.heading(heading)
        page.bullets(texts, "  ")


def _matters(page: Page, matters: Values, now: datetime) -> None:
    page.heading(f"Matters open: {matter_counts(matters['counts'])}")
    for matter in matters["open"]:
        read = matter["acknowledged"]
        parts = [
            matter["says"],
            f"Deadline {_deadline(matter['deadline'], now)}." if matter["deadline"] else "",
            f"[read by {read['by']} {printed(read['at'], now)}]"
            if read
            else "[NOT READ BY ANYONE]"
            if matter["level"] in ("vet", "vet now")
            else "",
            f"Vet: {matter['phone']}." if matter["phone"] else "",
        ]
        where = f"{matter['place_name']}: " if matter["place_name"] and matter["place"] != matter["about"] else ""
        page.text(where + " ".join(part for part in parts if part), f"  {matter['level'].upper():<8}")
    for matter in matters["put_off"]:
        until = matter["put_off"]
        day = date_words(date.fromisoformat(until["until"]), now)
        page.text(
            f"{matter['says']} Until {day} ({until['by']}: {until['reason']})",
            "  put off ",
        )


def _females(page: Page, females: Sequence[Values], now: datetime) -> None:
    if not females:
        return
    page.heading("Breeding females")
    rows = [["", "", "lay box", "due", "last egg check", "phase"]]
    for her in females:
        days = _due(her["forecast"], now)
        box = "-"
        if her["lay_box"]:
            box = date_words(datetime.fromisoformat(her["lay_box_since"]), now) if her["lay_box_since"] else "yes"
        check = date_words(datetime.fromisoformat(her["last_egg_check"]), now) if her["last_egg_check"] else "never"
        signs = f"; found {', '.join(her['signs'])}" if her["signs"] else ""
        rows.append([her["name"], her["place_name"] or "-", box, days, check, her["says"] + signs])
    page.table(rows, (12, 8, 8, 16, 14), lead="  ")


def _due(forecast: Values | None, now: datetime) -> str:
    """When she is due, on paper that is read on another day: `29 Mar to 20 Apr`, `ended 23 Apr`."""
    if forecast is None:
        return "-"
    early, late, closes = (
        date_words(datetime.fromisoformat(one), now)
        for one in (forecast["early"], forecast["late"], forecast["window"][1])
    )
    return f"ended {closes}" if forecast["state"] == "over" else f"{early} to {late}"


def _agreed(one: Values, now: datetime) -> str:
    day = date_words(datetime.fromisoformat(one["day"]), now)
    late = ": was it kept?" if one["late_days"] and one["what"] == "appointment" else ""
    return f"{day}{late} {one['name']}: {one['why']}"


def _left(page: Page, sheet: Values) -> None:
    _list(
        page,
        "Left out, and why",
        [f"{_who(one)}: {one['care']}: {one['reason']} ({one['entry']['by']})" for one in sheet["left_out"]],
    )
    if sheet["stops_left"]:
        page.heading(f"Not walked: {many(len(sheet['stops_left']), 'stop')}")
        page.text(", ".join(stop["name"] for stop in sheet["stops_left"]), "  ")
    undone = sheet["not_done"]
    if undone:
        page.heading(f"Not done: {many(len(undone), 'line')}")
        for care, lines in _grouped(undone).items():
            page.text(", ".join(lines), f"  {care:<13} ")


def _grouped(undone: Sequence[Values]) -> dict[str, list[str]]:
    """Lines not done, by care: who, or where, and how late."""
    found: dict[str, list[str]] = {}
    for line in undone:
        where = line["name"]
        if line["place_name"] and line["about"] != line["place"]:
            where = f"{line['name']} ({line['place_name']})"
        late = f" {many(line['late_days'], 'day')} late" if line["late_days"] > 0 else ""
        found.setdefault(line["care"], []).append(where + late)
    return found


def _work(page: Page, sheet: Values, now: datetime) -> None:
    page.heading("Done on this shift")
    for care in sheet["by_care"]:
        places = care["places"]
        page.text(f"{len(places)}: {', '.join(place['name'] for place in places)}", f"  {care['care']:<13} ")
    rows = []
    for one in sheet["singly"]:
        entry = one["entry"]
        note = f": {entry['note']}" if entry.get("note") else ""
        who = one["name"] + (f" ({one['place_name']})" if one["place_name"] else "")
        rows.append([printed(entry["at"], now), entry["by"], who, one["says"] + note])
    page.table(rows, (15, 6, 22), lead="  ")
    if not sheet["by_care"] and not rows:
        page.text("(nothing was written)", "  ")
    if sheet["corrected"]:
        page.text(f"{many(sheet['corrected'], 'entry', 'entries')} corrected or taken back", "  ")


def _who(one: Values) -> str:
    return ", ".join(word for word in (one["name"], one["place_name"]) if word)


def _deadline(at: str, now: datetime) -> str:
    return f"{printed(at, now)}, {left_words(datetime.fromisoformat(at), now)}"
