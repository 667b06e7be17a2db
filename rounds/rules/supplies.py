"""The `[supplies]` table of colony.toml, checked: each mistake refused with a sentence a keeper can act on."""

from __future__ import annotations

from typing import Any, Final, cast

from rounds.errors import BadRule
from rounds.logbook.plain import folded, slug
from rounds.rules.changes import nearest
from rounds.rules.supply_plan import CLASSES, RATION_UNITS, USES, SupplyPlan, SupplyUse

_KEYS: Final = ("name", "unit", "use", *CLASSES, "order_days")
_EXAMPLE: Final = '[supplies.locusts] and then use = "insects"'
_MOST_RATION: Final = 10_000
_MOST_DAYS: Final = 60


def supplies_of(table: object) -> dict[str, SupplyPlan]:
    """The supplies by their ids, as the table has them. Raises `BadRule` with a sentence for any mistake."""
    if not isinstance(table, dict):
        raise BadRule(f"colony.toml, supplies: this wants a table for each; write {_EXAMPLE}")
    plans: dict[str, SupplyPlan] = {}
    called: dict[str, str] = {}
    for key, members in table.items():
        plan = _plan(key, members)
        if plan.subject in plans or folded(plan.name) in called:
            raise BadRule(f"colony.toml, supplies: two are called {plan.name[:80]!r}; give one another name")
        plans[plan.subject], called[folded(plan.name)] = plan, key
    return plans


def _plan(key: str, members: object) -> SupplyPlan:
    where = f"colony.toml, supplies, {key[:60]!r}"
    own = slug(key)
    if not own or own != key:
        raise BadRule(
            f"{where}: a supply is named by small letters, digits and hyphens, such as {own or 'locusts'}"
        )
    if not isinstance(members, dict):
        raise BadRule(f"{where}: this wants a table; write {_EXAMPLE}")
    for name in members:
        if name not in _KEYS:
            raise BadRule(
                f"{where}: {name[:80]!r} means nothing here{nearest(name, _KEYS)} (it may have {', '.join(_KEYS)})"
            )
    use = members.get("use", "other")
    if use not in USES:
        raise BadRule(f"{where}, use: {str(use)[:80]!r} is not known; it may be {', '.join(USES)}")
    unit = _text(where, members, "unit", RATION_UNITS.get(use, "pieces"), 20)
    rations = {name: _ration(where, name, members[name]) for name in CLASSES if name in members}
    if rations and use not in RATION_UNITS:
        raise BadRule(
            f'{where}: a ration is of what is eaten; write use = "insects" or use = "greens", or no ration'
        )
    return SupplyPlan(
        subject=f"supply/{own}",
        name=_text(where, members, "name", own.replace("-", " "), 200),
        unit=unit,
        use=cast(SupplyUse, use),
        rations=rations,
        order_days=_days(where, members.get("order_days")),
    )


def _text(where: str, members: dict[str, Any], key: str, default: str, most: int) -> str:
    value = members.get(key, default)
    if not isinstance(value, str) or not value.strip() or len(value) > most or not value.strip().isprintable():
        raise BadRule(
            f'{where}, {key}: this wants up to {most} letters in quotes, such as {key} = "{default[:40]}"'
        )
    return value.strip()


def _ration(where: str, key: str, value: object) -> float:
    # Written so that "not a number", which TOML allows, is refused too.
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value <= _MOST_RATION:
        raise BadRule(f"{where}, {key}: how much a head gets at one feeding, 0 to {_MOST_RATION}; write {key} = 10")
    return float(value)


def _days(where: str, value: object) -> int | None:
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= _MOST_DAYS:
        raise BadRule(f"{where}, order_days: a whole number of days, 0 to {_MOST_DAYS}; write order_days = 5")
    return value
