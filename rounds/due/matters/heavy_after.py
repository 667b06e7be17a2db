"""A weight after laying that says that eggs are left in her."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from rounds.due.dates import just_before
from rounds.due.figures import percent
from rounds.due.lay_balance import BALANCE_RULES, lay_balance
from rounds.due.matter import Level, Matter
from rounds.due.matters.adding_up import signs_add_up
from rounds.due.matters.look import Look, cites, needs
from rounds.due.matters.wording import NEVER_STEP, QUIET_STEP, day, is_over, nest_steps, vet_steps
from rounds.logbook.entries import EggsLaid
from rounds.standing.clutch import Clutch
from rounds.standing.weighing import Weighing, last_word
from rounds.standing.weighings import changed_by


@cites(
    "eggbinding.heavy_after_percent",
    "weights.shift_hours",
    "weights.drop_percent",
    "breeding.laid_lasts",
    "breeding.window_closes",
    "eggbinding.soak_c",
    *BALANCE_RULES,
)
@needs(EggsLaid)
def heavy_after_laying(look: Look) -> Iterator[Matter]:
    """Her weight after laying is well above her own weight before she was gravid: she may hold eggs.

    Today at the first weighing; vet when a second weighing is as heavy. Where readings
    differ they count as no second one, and as no all-clear. It stays vet until a
    vet has seen her or was spoken to, or enough eggs came. Her own weight is the median of the
    last three before the mating or the company that led to the clutch.

    Not weighed since, it is for today too when what she weighed before, less the mass of her eggs, lies above her
    own weight by more than twice what the weights, the mass of the eggs and her body may be off. That her weight
    accounts for the eggs takes nothing away.
    """
    found: list[tuple[Clutch, list[Weighing], bool]] = []
    for last in _said_done(look):
        heavy, again = _heavy_after(look, last)
        if heavy:
            found.append((last, heavy, again))
    if not found:
        yield from _by_the_scale(look)
        return
    last, heavy, again = max(found, key=lambda one: one[2])
    before = look.female.weight_before(last)
    assert before is not None
    weighed = heavy[-1]
    level = Level.VET if again else Level.TODAY
    what = f"{'still ' if again else ''}{weighed.grams:g} g after laying"
    last_weighed = look.last_weighing
    what += "" if last_weighed is not None and weighed.at == last_weighed.at else f" on {day(weighed.at)}"
    yield look.matter(
        heavy_after_laying,
        level,
        f"{look.name} may hold eggs: {what}, {percent(weighed.grams / before - 1)} above her own.",
        since=heavy[0].at,
        entries=(*last.laid[-1:], *(entry for weighing in heavy for entry in weighing.middle)),
        do=(
            *(vet_steps(look.house) if again else ("Weigh her again tomorrow, and feel for eggs if practised.",)),
            *(() if look.female.has_lay_box else nest_steps(look.house)[:1]),
            QUIET_STEP,
            NEVER_STEP,
        ),
        worsens="any danger sign: vet now"
        if again
        else "as heavy at the next weighing: vet; eggs felt: a deadline",
        acts=("vet called", "refer", "vet seen", "eggs laid", "weigh")
        if again
        else ("felt", "weigh", "egg check", "eggs laid", "refer"),
    )


def _by_the_scale(look: Look) -> Iterator[Matter]:
    """The last clutch, where she was not weighed since and the mass of her eggs says that some are left."""
    last = look.female.last_complete
    if last is None or last.complete is None or look.female.laying or look.unfinished is not None:
        return
    if look.days_since(last.complete.at) > look.house.days("breeding.laid_lasts"):
        return
    balance = lay_balance(look.female, look.house, last)
    if balance is None or balance.after is not None or balance.verdict != "heavier":
        return
    if any(True for _ in signs_add_up(look)) or not look.animal.after_contact(last.complete):
        return
    yield look.matter(
        heavy_after_laying,
        Level.TODAY,
        f"{look.name} may hold eggs: {balance.words}.",
        since=last.complete.at,
        entries=tuple(sorted((*balance.behind, *last.laid[-1:]), key=lambda entry: entry.key)),
        do=(
            f"{balance.says[:1].upper()}{balance.says[1:]}.",
            "Weigh her now, and feel for eggs if practised.",
            *(() if look.female.has_lay_box else nest_steps(look.house)[:1]),
            QUIET_STEP,
            NEVER_STEP,
        ),
        worsens="well above her own weight at two weighings: vet; eggs felt: a deadline; any danger sign: vet now",
        acts=("felt", "weigh", "egg check", "eggs laid", "refer"),
    )


def _said_done(look: Look) -> list[Clutch]:
    """Her last clutch that was said to be complete; where it is too short to be believed, those before it too."""
    done = [(one.complete.key, one) for one in look.female.clutches if one.complete is not None]
    found: list[Clutch] = []
    for _, one in sorted(done, key=lambda pair: pair[0], reverse=True):
        found.append(one)
        if not look.female.is_few(one):
            break
    return found


def _heavy_after(look: Look, eggs: Clutch) -> tuple[list[Weighing], bool]:
    """Weighings after a clutch that are well above her own weight, if that still holds; and whether a second is."""
    her, done, before = look.female, eggs.complete, look.female.weight_before(eggs)
    if done is None or before is None:
        return [], False
    over = look.house.number("eggbinding.heavy_after_percent") / 100
    after: list[Weighing] = []
    # Read again on a day, a weight may be no longer heavy: what stood before that is asked first.
    changed = changed_by(look.animal, look.house.weighing_rule)
    for moment in (*sorted(just_before(entry.known) for entry in changed), look.now):
        after = _weighed_after(look, done, moment)
        heavy = [one for one in after if not one.unsure and is_over(one.grams, before, over)]
        if len(heavy) > 1:
            return heavy, True
    if her.laying or look.unfinished is not None:
        return [], False  # laying_stopped says it, with its deadline
    return [one for one in last_word(after) if is_over(one.grams, before, over)], False


def _weighed_after(look: Look, done: EggsLaid, moment: datetime) -> list[Weighing]:
    """Weighings of the days after a clutch of which no vet has heard, as they stood at a moment."""
    lasts = timedelta(days=look.house.days("breeding.laid_lasts") + 1)
    return [
        after
        for weighing in look.female.weighings(moment)
        if done.at < weighing.ended and weighing.at - done.at < lasts
        if (after := weighing.only(look.animal.after_contact)) is not None
    ]
