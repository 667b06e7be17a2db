"""All matters, worst first, each with its reason, its rule and what to do."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from rounds.due.matter import Matter
from rounds.due.reckon import open_matters
from rounds.paper.page import Page
from rounds.paper.today import matter_counts
from rounds.paper.values import Values, counts, matter_values, moment, when
from rounds.paper.words import date_words, left_words, many
from rounds.rules.settings import Settings
from rounds.standing.fold import Standing


def matter_list(
    standing: Standing, settings: Settings, now: datetime, matters: Sequence[Matter], *, every: bool = False
) -> Values:
    """The matters as values, ready for JSON; those put off only with `every`."""
    shown = matters if every else open_matters(matters)
    return {
        "colony": settings.name,
        "now": moment(now, settings.house),
        "counts": counts(open_matters(matters)),
        "put_off": sum(one.put_off is not None for one in matters),
        "matters": [matter_values(standing, settings.house, matter) for matter in shown],
    }


def matters_text(found: Values, now: datetime) -> str:
    """The matters as 80 columns of text."""
    page = Page()
    page.title(f"{found['colony']}   attention", f"{now:%a} {now.day} {now:%b %Y %H:%M}")
    sum_, off = matter_counts(found["counts"]), many(found["put_off"], "matter")
    if found["put_off"] and not any(found["counts"].values()):
        page.text(f"{off} put off. Nothing else needs attention.")
    else:
        page.text(sum_ + (f"   ({found['put_off']} put off)" if found["put_off"] else ""))
    for matter in found["matters"]:
        page.blank()
        matter_text(page, matter, now)
    return str(page)


def matter_text(page: Page, matter: Values, now: datetime) -> None:
    """One matter with all that explains it."""
    where = f"{matter['place_name']}: " if matter["place_name"] and matter["place"] != matter["about"] else ""
    page.text(where + matter["says"], f"{matter['level'].upper():<9}")
    page.text(f"{when(matter['since'], now)}{_deadline(matter, now)}{_answers(matter, now)}", "  since   ")
    for step in matter["do"]:
        page.text(step, "  do    - ")
    phone = matter["phone"] or ""
    if not any(phone in step for step in matter["do"]):
        page.text(phone, "  vet     ")
    page.text(matter["worsens"], "  worse   ")
    for line in matter["adds"]:
        page.text(line, "  points  ")
    for entry in matter["entries"]:
        note = f": {entry['note']}" if entry.get("note") else ""
        page.text(f"{when(entry['at'], now)} {entry['by']}  {entry['says']}{note}", "  seen    ")
    for rule in matter["rules"]:
        page.text(rule, "  rule    ")
    page.text(matter["key"], "  key     ")


def _deadline(matter: Values, now: datetime) -> str:
    if matter["deadline"] is None:
        return ""
    deadline = datetime.fromisoformat(matter["deadline"])
    return f"; deadline {when(matter['deadline'], now)}, {left_words(deadline, now)}"


def _answers(matter: Values, now: datetime) -> str:
    read, put_off = matter["acknowledged"], matter["put_off"]
    answers = f"; read by {read['by']} {when(read['at'], now)}" if read else ""
    if not read and matter["level"] in ("vet", "vet now"):
        answers = "; not read by anyone"
    if put_off:
        until = date_words(date.fromisoformat(put_off["until"]), now)
        answers += f"; put off until {until} by {put_off['by']}: {put_off['reason']}"
    return answers
