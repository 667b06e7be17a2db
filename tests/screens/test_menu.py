"""The menu of entries: two keys for each kind, none of them for two; and a form for each kind a keeper writes."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import pytest

from rounds.logbook.entries import KINDS, Fed, HandedOver, Measured, Misted, Weighed
from rounds.logbook.members import members
from rounds.screens.prompts.fields import Clockwork, Field, Unreadable, value_of
from rounds.screens.record.correcting import _FORMS as KEYED_FORMS
from rounds.screens.record.forms import FORM_OF, FORMS, GROUPS
from rounds.screens.record.kind_form import KindForm
from tests.notation import VIENNA, at
from tests.screens.rack import colony, opened

#: Kinds that no form puts right: an answer, a signature, a step, a file. They are taken back and done again.
WITHOUT_A_FORM = {
    "acknowledged",
    "climate_logged",
    "corrected",
    "handed_over",
    "put_off",
    "stop_walked",
    "taken_over",
}


def clashes(forms: Iterable[KindForm]) -> list[str]:
    """A sentence for each pair of keys that would choose two kinds."""
    taken: dict[tuple[str, str], KindForm] = {}
    found: list[str] = []
    for form in forms:
        other = taken.setdefault((form.group, form.key), form)
        if other is not form:
            keys = f"{form.group} {form.key}"
            found.append(f"“{keys}” is both {other.label} and {form.label}: give one of them another letter.")
    return found


def test_two_keys_choose_one_kind() -> None:
    assert clashes(FORMS) == []


def test_two_kinds_on_the_same_keys_are_both_named() -> None:
    forms = [
        KindForm("c", "f", "fed", Fed),
        KindForm("c", "m", "misted", Misted),
        KindForm("c", "f", "fogged", Misted),
    ]
    assert clashes(forms) == ["“c f” is both fed and fogged: give one of them another letter."]


def test_every_form_stands_in_a_group_under_a_letter() -> None:
    groups = [key for key, _ in GROUPS]
    assert sorted(set(groups)) == sorted(groups)
    for form in FORMS:
        assert form.group in groups, form.label
        assert len(form.key) == 1, form.label
        assert "a" <= form.key <= "z", f"{form.label}: digits choose by place"


def test_every_kind_a_keeper_writes_has_a_form_to_write_it_or_to_put_it_right() -> None:
    formed = {kind.__struct_config__.tag for kind in (*FORM_OF, *KEYED_FORMS)}
    assert set(KINDS) - formed == WITHOUT_A_FORM


@pytest.mark.parametrize("form", [*FORMS, *KEYED_FORMS.values()], ids=lambda form: form.label)
def test_every_field_fills_a_member_and_asks_for_what_is_needed(form: KindForm) -> None:
    known = members(form.kind)
    asked = {field.name: field for field in form.fields}
    # Asked under another name: the clutch it is about, the number a count becomes a note of.
    beside = {"when"} | ({"clutch"} & set(form.kind.of)) | ({"count"} if form.label == "counted" else set())
    assert set(asked) - set(known) <= beside
    for name, field in asked.items():
        if name in known and known[name].needed:
            assert field.required, name


def test_a_field_is_read_as_its_member_is() -> None:
    clock = Clockwork(at("2026-04-12 08:00"), VIENNA)
    svl, total, when, note = KindForm(
        "", "", "measured", Measured, (Field("svl_mm", "svl"), Field("total_mm", "total"))
    ).fields
    assert (svl.sort, svl.unit, svl.required, when.sort, note.name) == ("figure", "mm", False, "when", "note")
    assert value_of(svl, "195", clock) == 195
    with pytest.raises(Unreadable, match=r"total: 901 mm is too much: at most 900 mm\."):
        value_of(total, "901", clock)
    (grams, *_) = FORM_OF[Weighed].fields
    assert (grams.required, grams.most) == (True, 5_000)


async def test_what_can_only_be_said_of_the_room_is_offered_at_every_stop(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    of_the_room = KindForm("c", "r", "signed", HandedOver)
    monkeypatch.setattr("rounds.screens.record.menu.FORMS", (of_the_room,))
    page = """
        2026-03-01 AK
        08:00  b1      enclosure_set_up  name=B1
        08:10  wattle  arrived  name=Wattle sex=F place=b1
    """
    async with opened(colony(tmp_path / "colony", page), "2026-03-02 07:00", keeper="AK") as rack:
        await rack.press("i", "c")
        await rack.sees("signed (the room)")
        await rack.press("r", "f2")
        (signed,) = rack.of(HandedOver)
        assert signed.about == "room"
