"""The females: where each stands in her year, when she lays, what speaks for eggs in her, and what she laid."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Final

from rounds.due.forecast import LayForecast, forecast_of
from rounds.due.gravid import Saying, gravid_or_not
from rounds.due.lay_balance import LayBalance, expected_eggs, lay_balance
from rounds.due.matter import Level, Matter
from rounds.due.reckon import matters_about
from rounds.logbook.entries import Entry, MatingSeen
from rounds.paper.page import Page
from rounds.paper.values import Values, forecast_values, moment
from rounds.paper.words import age_words, day_words, many, phase_words, weight_words
from rounds.paper.year import recovery_words
from rounds.rules.house import House
from rounds.rules.settings import Settings
from rounds.standing.clutch import Clutch
from rounds.standing.egg_mass import weighed_eggs
from rounds.standing.female import Female, females_here
from rounds.standing.fold import Standing
from rounds.standing.recovery import recovery
from rounds.standing.seasons import seasons_of

#: What is said of eggs in her, and the label it has on paper.
_PARTS: Final = (("for", "for"), ("against", "against"), ("proves_nothing", "no proof"))


def females(standing: Standing, settings: Settings, now: datetime) -> Values:
    """Every female that is here, as values ready for JSON: for the vet first, then who lays or is due."""
    house = settings.house
    here = females_here(standing, house.breeding_days)
    grave = _for_the_vet(standing, house, now, [her.subject for her in here])
    worst = {subject: max(one.level for one in found) for subject, found in grave.items()}
    here.sort(
        key=lambda her: (
            -worst.get(her.subject, 0),
            _order(her, forecast_of(her, now)),
            her.animal.name,
            her.subject,
        )
    )
    return {
        "colony": settings.name,
        "now": moment(now, house),
        "females": [
            {
                **female_values(her, house, now),
                "for_the_vet": [{"level": one.level.word, "says": one.says} for one in grave.get(her.subject, ())],
            }
            for her in here
        ],
    }


def _for_the_vet(standing: Standing, house: House, now: datetime, subjects: list[str]) -> dict[str, list[Matter]]:
    """What is open about them at the level of the vet, worst first."""
    found: dict[str, list[Matter]] = {}
    try:
        for matter in matters_about(standing, house, now, subjects):
            if matter.level >= Level.VET:
                found.setdefault(matter.about, []).append(matter)
    except OverflowError:
        return {}  # now is an end of the calendar itself: no matter can be reckoned there
    return found


def _order(her: Female, forecast: LayForecast | None) -> tuple[int, int]:
    """Laying first, then by the day she is due from, then those whose time is over, or who have none."""
    if her.laying is not None:
        return 0, 0
    if forecast is None:
        return 3, 0
    return (2 if forecast.state == "over" else 1), forecast.early.toordinal()


def female_values(her: Female, house: House, now: datetime) -> Values:
    """One female: who she is, and all of her breeding."""
    place = her.animal.place
    return {
        "subject": her.subject,
        "name": her.animal.name,
        "place": place,
        "place_name": her.standing.name(place) if place else None,
        "age": age_words(her.animal.hatched, now),
        "weight": weight_words(her.animal, house),
        **breeding_values(her, house, now),
    }


def breeding_values(her: Female, house: House, now: datetime) -> Values:
    """A female's breeding: phase, mating, forecast, lay box, gravid or not, eggs, what she weighs since."""
    mating, box, laying = (her.matings[-1] if her.matings else None), her.lay_box, her.laying
    here = her.animal.here
    return {
        "phase": her.phase(now),
        "says": phase_words(her, now),
        "last_mating": _mating(her, mating, house),
        "with_male": _company(her, house),
        "forecast": forecast_values(forecast_of(her, now)) if here else None,
        "lay_box": her.has_lay_box,
        "lay_box_since": moment(box.at, house) if box else None,
        "gravid": gravid_values(her, house, now) if here else None,
        "expected_eggs": _expected(her, laying),
        "laying": _laying(laying, house),
        "clutches": [_clutch(her, eggs, house) for eggs in her.clutches],
        "regained": _regained(her, house, now),
        "laid_this_season": bool(seasons_of(her, now, house.year_days)[-1].clutches),
    }


def _regained(her: Female, house: House, now: datetime) -> Values | None:
    """What she weighs beside her own weight before her last clutch; None where either is not known."""
    found = recovery(her, now, house.year_days)
    if found is None or found.last is None or found.part is None:
        return None
    return {
        "own_grams": found.before,
        "grams": found.last.grams,
        "part": round(found.part, 3),
        "says": recovery_words(found),
    }


def _mating(her: Female, mating: Entry | None, house: House) -> Values | None:
    if mating is None:
        return None
    sire = mating.sire if isinstance(mating, MatingSeen) else getattr(mating, "toward", None)
    return {
        "at": moment(mating.at, house),
        "sire": sire,
        "sire_name": her.standing.name(sire) if sire else None,
    }


def _company(her: Female, house: House) -> Values | None:
    """The male she is with, or was with last."""
    last = max(her.company, key=lambda one: one.since, default=None)
    if last is None:
        return None
    return {
        "mate": last.mate,
        "mate_name": her.standing.name(last.mate) if last.mate else None,
        "since": moment(last.since, house),
        "until": moment(last.until, house),
    }


def gravid_values(her: Female, house: House, now: datetime) -> Values | None:
    """What speaks for eggs in her, what against, and what proves nothing."""
    found = gravid_or_not(her, house, now)
    if found is None:
        return None
    return {
        "verdict": found.verdict,
        "chance": _sayings([found.chance])[0] if found.chance is not None else None,
        "for": _sayings(found.speaks_for),
        "against": _sayings(found.against),
        "proves_nothing": _sayings(found.proves_nothing),
    }


def _sayings(found: Iterable[Saying]) -> list[Values]:
    return [{"says": one.says, "entries": [entry.id for entry in one.entries]} for one in found]


def _expected(her: Female, laying: Clutch | None) -> Values:
    found = expected_eggs(her, laying)
    return {
        "mean": round(found.mean, 1) if found.mean is not None else None,
        "least": found.least,
        "most": found.most if found.clutches else None,
        "clutches": found.clutches,
        "says": found.says,
    }


def _laying(laying: Clutch | None, house: House) -> Values | None:
    if laying is None:
        return None
    last = laying.last_egg
    return {
        "clutch": laying.subject,
        "eggs": laying.count,
        "slugs": laying.slugs,
        "begun": moment(laying.begun_at, house),
        "last_egg": moment(last.at if last else None, house),
    }


def _clutch(her: Female, eggs: Clutch, house: House) -> Values:
    grams, weighed = weighed_eggs(eggs)
    balance = lay_balance(her, house, eggs)
    return {
        "clutch": eggs.subject,
        "eggs": eggs.count,
        "slugs": eggs.slugs,
        "begun": moment(eggs.begun_at, house),
        "complete": eggs.complete is not None,
        "completed": moment(eggs.complete.at if eggs.complete else None, house),
        "eggs_grams": grams if weighed else None,
        "eggs_weighed": weighed,
        "balance": balance_values(balance, house) if balance is not None else None,
    }


def balance_values(balance: LayBalance, house: House) -> Values:
    """A clutch on the scale."""
    before, after, low_high = balance.before, balance.after, balance.left
    return {
        "verdict": balance.verdict,
        "says": balance.says,
        "own_grams": balance.own,
        "before_grams": before.grams if before else None,
        "before_at": moment(before.at, house) if before else None,
        "after_grams": after.grams if after else None,
        "after_at": moment(after.at, house) if after else None,
        "without_eggs_grams": round(balance.now, 1),
        "eggs_grams": round(balance.mass.grams, 1),
        "eggs_grams_by": balance.mass.by,
        "off_by_grams": round(2 * balance.spread, 1),
        "eggs_left": [max(0, one) for one in low_high],
        "eggs_not_found": [max(0, one) for one in balance.not_found],
    }


# The text


def females_text(found: Values, now: datetime) -> str:
    """The females as 80 columns of text."""
    page = Page()
    page.title(f"{found['colony']}   females", f"{now:%a} {now.day} {now:%b %Y %H:%M}")
    if not found["females"]:
        page.text("No female is here.")
    for her in found["females"]:
        page.blank()
        where = f"   {her['place_name']}" if her["place_name"] else ""
        page.text(f"{her['name']}{where}   {her['age']}   {her['weight']}   {her['phase']}")
        # No forecast is read before what is for the vet.
        for grave in her["for_the_vet"]:
            page.text(grave["says"], f"  {grave['level'].upper():<9} ")
        for label, text in breeding_lines(her, now):
            page.text(text, f"  {label:<9} ")
    return str(page)


def breeding_lines(her: Values, now: datetime) -> list[tuple[str, str]]:
    """What is told of a female's breeding, each line with its label; what is not known is left out."""
    shown: list[tuple[str, str]] = []
    forecast, mating, laying = her["forecast"], her["last_mating"], her["laying"]
    if mating is not None:
        sire = f" with {mating['sire_name']}" if mating["sire_name"] else ""
        shown.append(("mated", f"{day_words(datetime.fromisoformat(mating['at']), now)}{sire}"))
    if forecast is not None:
        shown.append(("forecast", f"{forecast['says']} ({forecast['learned']})"))
    if laying is not None:
        slugs = f", {many(laying['slugs'], 'slug')}" if laying["slugs"] else ""
        shown.append(("laying", f"{many(laying['eggs'], 'egg')} so far{slugs}; {her['expected_eggs']['says']}"))
    elif forecast is not None:
        shown.append(("expected", her["expected_eggs"]["says"]))
    if forecast is not None or laying is not None:
        shown.append(("lay box", "yes" if her["lay_box"] else "none"))
    shown += gravid_lines(her["gravid"], told=forecast is not None)
    last = her["clutches"][-1] if her["clutches"] else None
    if last is not None and last["balance"] is not None and her["laid_this_season"]:
        shown.append(("scale", last["balance"]["says"]))
    if her["regained"] is not None:
        shown.append(("regained", her["regained"]["says"]))
    return shown


def gravid_lines(gravid: Values | None, *, told: bool) -> list[tuple[str, str]]:
    """Gravid or not, with what speaks for it; nothing where nothing was seen and nothing is forecast (`told`)."""
    if gravid is None or (not told and not gravid["for"]):
        return []
    shown = [("gravid?", gravid["verdict"])]
    for member, label in _PARTS:
        says = [one["says"] for one in gravid[member]]
        if member == "for" and gravid["chance"] is not None:
            says.append(gravid["chance"]["says"])
        if says:
            shown.append((label, "; ".join(says)))
    return shown


def page_lines(her: Values) -> list[tuple[str, str]]:
    """The same for the head of her page on a screen: gravid or not at once, and the scale only since she laid.

    The verdict stands first in each line: where there is little room the rest of it is cut.
    """
    shown: list[tuple[str, str]] = []
    forecast, gravid, laying = her["forecast"], her["gravid"], her["laying"]
    if forecast is not None:
        shown.append(("forecast", f"{forecast['says']}; {forecast['learned']}"))
    if laying is not None:
        shown.append(("laying", her["expected_eggs"]["says"]))
    if gravid is not None and (forecast is not None or gravid["for"]):
        heads = {"for": "", "against": "against: ", "proves_nothing": "proves nothing: "}
        # What the verdict says already is not said again.
        told = {member: [one["says"] for one in gravid[member]] for member, _ in _PARTS}
        told["for"] = [says for says in told["for"] if says not in gravid["verdict"]]
        parts = [heads[member] + "; ".join(says) for member, says in told.items() if says]
        first = ": " if told["for"] and ":" not in gravid["verdict"] else "; "
        shown.append(("gravid?", first.join(filter(None, (gravid["verdict"], "; ".join(parts))))))
    last = her["clutches"][-1] if her["clutches"] else None
    if last is not None and last["balance"] is not None and (laying is not None or her["phase"] == "laid"):
        shown.append(("scale", last["balance"]["says"]))
    return shown
