"""Later than her forecast, while the house's window is open still."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from rounds.due.forecast import FORECAST_RULES, forecast_of
from rounds.due.matter import Level, Matter
from rounds.due.matters.adding_up import signs_add_up
from rounds.due.matters.laying import lay_box_not_ready
from rounds.due.matters.look import Look, cites
from rounds.due.matters.wording import day, nest_check_steps

#: Signs that say by themselves that eggs are in her.
_EGGS_IN_HER = frozenset({"evidence.eggs_felt", "evidence.vet_found_eggs", "evidence.gain"})


@cites(*FORECAST_RULES)
def overdue_to_lay(look: Look) -> Iterator[Matter]:
    """She has not laid by the last day of her forecast, and her window is open still.

    Watch; today when eggs were felt in her, or she has gained. Her forecast comes from the house's window, the
    colony's times and her own. It makes this earlier and nothing later: when the window ends, `window past` and
    `signs add up` judge by the house's days. A next clutch by stored sperm is no promise and does not count here.
    Where another matter of her eggs is open it is not said a second time.
    """
    if not look.may_be_gravid or look.unfinished or look.digging:
        return
    if look.window is None or not look.window.opens < look.now.date() <= look.window.closes:
        return  # no forecast ends before the window opens, and none is open after it
    forecast = forecast_of(look.female, look.now)
    if forecast is None or forecast.state != "overdue" or forecast.why == "stored sperm":
        return
    if look.female.laid_since_cycle_start is not None:
        return
    begun = look.midnight(forecast.late + timedelta(days=1))
    contact = look.animal.last_contact
    if contact is not None and contact.at >= begun:
        return
    if any(True for _ in signs_add_up(look)) or any(box.level >= Level.TODAY for box in lay_box_not_ready(look)):
        return
    signs = [sign for sign in look.evidence.signs if sign.house[0] in _EGGS_IN_HER]
    seen = f" {signs[0].says[:1].upper()}{signs[0].says[1:]}." if signs else ""
    behind = {
        entry.id: entry for entry in (*forecast.entries, *(entry for sign in signs for entry in sign.entries))
    }
    if not behind and look.animal.arrived is not None:
        behind[look.animal.arrived.id] = look.animal.arrived
    yield look.matter(
        overdue_to_lay,
        Level.TODAY if signs else Level.WATCH,
        f"{look.name}: overdue since {day(begun)}, waiting {forecast.waited_days} days.{seen}",
        since=begun,
        entries=tuple(sorted(behind.values(), key=lambda entry: entry.key)),
        do=(
            "Look at her: bright or not, digging, straining, vent, discharge.",
            "Look for eggs laid unseen; weigh her, and feel for eggs if practised.",
            *(nest_check_steps(look.house) if look.female.has_lay_box else ()),
        ),
        worsens=f"window ends {day(forecast.closes)}; with other signs of eggs: vet; any danger sign: vet now",
        acts=("egg check", "weigh", "felt", "eggs laid", "lay box"),
    )
