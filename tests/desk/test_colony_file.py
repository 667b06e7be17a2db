"""colony.toml: what it gives, and the sentence for every mistake in it."""

from __future__ import annotations

import os
import re
import stat
from contextlib import suppress
from datetime import date, time
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rounds import system
from rounds.desk.colony_file import MOST_BYTES, load, write_new
from rounds.errors import BadRule, NoColony, NotSaved, RoundsError, UsageError
from rounds.rules.default import default_rules
from rounds.rules.settings import Settings, settings_of

HEAD = 'name = "Quandong shed"\ntime_zone = "Europe/Vienna"\n'


def colony(folder: Path, text: str | bytes) -> Path:
    content = text if isinstance(text, bytes) else text.encode()
    (folder / "colony.toml").write_bytes(content)
    return folder


def settings_with(rules: str, head: str = HEAD) -> Settings:
    return settings_of(f"{head}[house_rules]\n{rules}\n", default_rules())


def refused(text: str) -> str:
    with pytest.raises(BadRule) as error:
        settings_of(text, default_rules())
    sentence = str(error.value)
    assert sentence.startswith("colony.toml")
    assert sentence.isprintable()
    return sentence


def test_two_lines_are_a_colony(tmp_path: Path) -> None:
    found = load(colony(tmp_path, HEAD))
    assert (found.name, found.zone.key, found.units) == ("Quandong shed", "Europe/Vienna", "metric")
    assert (found.walking_order, found.evening_from, found.desks, found.keepers) == ((), time(14), (), {})
    assert found.house.rules == {key: default.rule for key, default in default_rules().items()}
    assert found.house.zone is found.zone


def test_a_whole_colony_toml_is_read(tmp_path: Path) -> None:
    text = (
        HEAD
        + 'units = "imperial"\nwalking_order = ["B1", " A1 "]\nevening_from = "15:30"\ndesks = ["rack laptop"]\n'
        + '[keepers]\nAK = "Anna K."\n'
        + "[house_rules]\nfeeding.insects_adult_days = 3\nclimate.cool_c = [23, 26.5]\n"
        + '"cleaning.water_days" = 2\n'
        + '[house_rules.breeding]\nwindow_closes = { value = 40, source = "our vet, 2026" }\n'
    )
    found = load(colony(tmp_path, text))
    assert (found.units, found.walking_order, found.evening_from) == ("imperial", ("B1", "A1"), time(15, 30))
    assert (found.desks, found.keepers) == (("rack laptop",), {"AK": "Anna K."})
    assert found.house.evening_from == time(15, 30)
    assert found.house.days("feeding.insects_adult_days") == 3
    assert found.house.band("climate.cool_c") == (23, 26.5)
    assert found.house.days("cleaning.water_days") == 2
    closes = found.house.rule("breeding.window_closes")
    assert (closes.value, closes.source, closes.changed, closes.grade) == (40, "our vet, 2026", True, "house")
    assert "our vet, 2026" in closes.cite()
    assert "changed in colony.toml" in closes.cite()
    assert not found.house.rule("breeding.window_opens").changed


def test_an_evening_may_be_written_as_a_toml_time() -> None:
    assert settings_of(HEAD + "evening_from = 16:00:00", default_rules()).evening_from == time(16)


def test_care_is_fixed_to_the_calendar_by_a_recurrence_rule() -> None:
    house = settings_with(
        'cleaning.full_days = "FREQ=MONTHLY;BYDAY=1SA"\n'
        'weighing.adult_days = { value = "freq=weekly;interval=2;byday=su", begins = 2026-03-01 }'
    ).house
    assert house.text("cleaning.full_days") == "FREQ=MONTHLY;BYDAY=1SA"
    assert house.rule("cleaning.full_days").shown() == "FREQ=MONTHLY;BYDAY=1SA"
    weigh = house.rule("weighing.adult_days")
    assert (weigh.value, weigh.begins) == ("FREQ=WEEKLY;INTERVAL=2;BYDAY=SU", date(2026, 3, 1))


@pytest.mark.parametrize(
    ("rules", "key", "reason"),
    [
        ("breeding.window_opns = 20", "breeding.window_opns", "did you mean breeding.window_opens?"),
        ("gardening.roses = 20", "gardening.roses", "no house rule"),
        ("breeding = 20", "breeding", "no house rule"),
        ('breeding.window_opens = "20 days"', "breeding.window_opens", "without quotes or unit; write 14"),
        ('breeding.window_opens = "FREQ=DAILY"', "breeding.window_opens", "number in days"),
        ("breeding.window_opens = true", "breeding.window_opens", "number in days"),
        ("breeding.window_opens = [14, 20]", "breeding.window_opens", "number in days"),
        ("breeding.window_opens = 2026-03-01", "breeding.window_opens", "number in days"),
        ("breeding.window_opens = 14.5", "breeding.window_opens", "whole number of days"),
        ("breeding.window_opens = 1000", "breeding.window_opens", "give 7 to 120 days"),
        ("breeding.window_opens = -3", "breeding.window_opens", "give 7 to 120 days"),
        ("breeding.window_opens = nan", "breeding.window_opens", "makes no sense"),
        ("breeding.window_opens = inf", "breeding.window_opens", "makes no sense"),
        ("breeding.window_opens = " + "9" * 400, "breeding.window_opens", "makes no sense"),
        ("breeding.window_opens = 50", "breeding.window_opens", "has to stay below breeding.window_closes"),
        ("breeding.window_closes = 14", "breeding.window_closes", "has to stay above breeding.window_opens"),
        ("eggbinding.dig_today_day = 8", "eggbinding.dig_today_day", "below eggbinding.dig_vet_day"),
        ("climate.cool_c = [26, 22]", "climate.cool_c", "wrong way round; write [22, 26]"),
        ("climate.cool_c = 24", "climate.cool_c", "two ends"),
        ("climate.cool_c = [22, 23, 24]", "climate.cool_c", "two ends"),
        ("climate.cool_c = [22, 'warm']", "climate.cool_c", "number in °C"),
        ("climate.basking_c = [31, 34]\nclimate.cool_c = [22, 32]", "climate.cool_c", "below climate.basking_c"),
        ("climate.night_low_c = { value = 68, unit = '°F' }", "climate.night_low_c", "give the value in °C"),
        ("climate.night_low_c = { val = 22 }", "climate.night_low_c", "'val' means nothing here"),
        ("climate.night_low_c = { source = 'our vet' }", "climate.night_low_c", "lacks its value"),
        ("climate.night_low_c = { value = 22, source = 7 }", "climate.night_low_c", "few words in quotes"),
        (
            "climate.night_low_c = { value = 22, begins = 2026-03-01 }",
            "climate.night_low_c",
            "recurrence rule only",
        ),
        ("climate.night_low_c = {}", "climate.night_low_c", "lacks its value"),
        ("cleaning.spot_days = 'FREQ=WEEKLY;BYDAY=MOO'", "cleaning.spot_days", "days are MO, TU"),
        ("cleaning.spot_days = { value = 'FREQ=DAILY', begins = 'soon' }", "cleaning.spot_days", "wants a day"),
        (
            "cleaning.spot_days = { value = 'FREQ=DAILY', begins = 0001-01-01 }",
            "cleaning.spot_days",
            "give a day between",
        ),
        ("eggbinding.stopped_vet_hours = 72", "eggbinding.stopped_vet_hours", "give 6 to 48 hours"),
        ("cleaning.spot_days = 1\n'cleaning.spot_days' = 2", "cleaning.spot_days", "set twice"),
    ],
)
def test_a_house_rule_that_makes_no_sense_is_refused_by_name(rules: str, key: str, reason: str) -> None:
    sentence = refused(f"{HEAD}[house_rules]\n{rules}\n")
    assert key in sentence
    assert reason in sentence


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ('time_zone = "Europe/Vienna"', "needs a name"),
        ('name = "  "\ntime_zone = "Europe/Vienna"', "needs a name"),
        ('name = 7\ntime_zone = "Europe/Vienna"', "needs a name"),
        (f'name = "{"x" * 201}"\ntime_zone = "Europe/Vienna"', "200 letters"),
        ('name = "Shed"', "needs its time zone"),
        ('name = "Shed"\ntime_zone = 1', "name in quotes"),
        ('name = "Shed"\ntime_zone = "Europe/Viena"', "did you mean Europe/Vienna?"),
        ('name = "Shed"\ntime_zone = "../../etc/passwd"', "no time zone"),
        ('name = "Shed"\ntime_zone = "/etc/localtime"', "no time zone"),
        ('name = "Shed"\ntime_zone = ""', "no time zone"),
        ('name = "Shed"\ntime_zone = "Europe"', "no time zone"),
        ('name = "Shed"\ntime_zone = "a\\u0000b"', "no time zone"),
        (HEAD + 'unit = "metric"', "did you mean units?"),
        (HEAD + 'units = "stone"', '"metric" (g, °C) or "imperial"'),
        (HEAD + 'walking_order = "A1"', "list of names"),
        (HEAD + 'walking_order = ["A1", 2]', "list of names"),
        (HEAD + 'walking_order = ["A1", "a1"]', "twice"),
        (HEAD + 'evening_from = "noon"', "no time of day"),
        (HEAD + "evening_from = 14", "no time of day"),
        (HEAD + 'evening_from = "25:00"', "no time of day"),
        (HEAD + 'evening_from = "02:00"', "08:00 to 22:00"),
        (HEAD + 'lights_off = "late"', "no time of day"),
        (HEAD + 'lights_off = "08:00"', "12:00 to 23:59"),
        (HEAD + "vet = 3", "write [vet]"),
        (HEAD + '[vet]\nname = "Dr Quoll"', "telephone number is missing"),
        (HEAD + '[vet]\nphone = "none"', "telephone number is missing"),
        (HEAD + "[vet]\nphone = 855501234", "letters in quotes"),
        (HEAD + '[vet]\nphone = "08\\n5550"', "letters in quotes"),
        (HEAD + '[vet]\nfone = "08 5550 1234"', "did you mean phone?"),
        (HEAD + "keepers = 3", "write [keepers]"),
        (HEAD + "[keepers]\nAK = 3", "name in quotes"),
        (HEAD + '[keepers]\n"\\u001b" = 3', "name in quotes"),
        (HEAD + '[keepers]\n" " = "Anna K."', "cannot be initials"),
        (HEAD + "house_rules = 3", "write [house_rules]"),
        (HEAD + 'name = "again"', "line 3"),
        ("name Shed", "line 1, column 6"),
        ('name = "Shed', "line 1"),
        ("x = " + "[" * 5000, "nested too deep|cannot be read"),
        ("x = " + "9" * 5000, "cannot be read"),
        (HEAD + "currency = 0x" + "f" * 5000, "colony.toml, currency: the number is far too large"),
        (HEAD + "racks = [[0x" + "f" * 5000 + "]]", "colony.toml, racks: the number is far too large"),
        (HEAD + "[supplies.locusts]\nyoung = 0x" + "f" * 5000, "supplies, locusts, young: the number is far too"),
    ],
)
def test_a_mistake_in_colony_toml_is_told_in_a_sentence(text: str, reason: str) -> None:
    assert re.search("|".join(re.escape(one) for one in reason.split("|")), refused(text))


def test_the_vet_and_when_the_lights_go_off_are_the_houses(tmp_path: Path) -> None:
    bare = load(colony(tmp_path, HEAD)).house
    assert (bare.vet, bare.lights_off) == ("", None)
    lines = 'lights_off = "20:00"\n[vet]\nname = "Dr Quoll"\nphone = "08 5550 1234"\n'
    house = load(colony(tmp_path, HEAD + lines)).house
    assert (house.vet, house.lights_off) == ("Dr Quoll, 08 5550 1234", time(20))
    house = load(colony(tmp_path, HEAD + lines + 'hours = "Mon to Fri"\n')).house
    assert house.vet == "Dr Quoll, 08 5550 1234 (Mon to Fri)"
    assert load(colony(tmp_path, HEAD + '[vet]\nphone = "08 5550 1234"')).house.vet == "08 5550 1234"
    assert load(colony(tmp_path, HEAD + "lights_off = 20:30:00")).house.lights_off == time(20, 30)


def test_what_a_new_colony_has_commented_out_can_be_taken_in(tmp_path: Path) -> None:
    path = write_new(tmp_path, "Shed", "Europe/Vienna")
    text = path.read_text(encoding="utf-8")
    for line in ("lights_off = ", "[vet]", "name = ", "phone = ", "hours = "):
        assert f"# {line}" in text
        text = text.replace(f"# {line}", line)
    path.write_text(text, encoding="utf-8")
    found = load(tmp_path)
    assert (found.name, found.house.lights_off) == ("Shed", time(20))
    assert found.house.vet == "Dr Quoll, 08 5550 1234 (Mon to Fri 8:00 to 18:00)"


def test_without_colony_toml_there_is_no_colony(tmp_path: Path) -> None:
    with pytest.raises(NoColony, match="rounds new"):
        load(tmp_path / "nowhere")


def test_a_byte_order_mark_and_windows_line_ends_do_no_harm(tmp_path: Path) -> None:
    text = HEAD.replace("\n", "\r\n").encode("utf-8-sig")
    assert load(colony(tmp_path, text)).name == "Quandong shed"


def test_another_encoding_is_told_with_its_line(tmp_path: Path) -> None:
    with pytest.raises(BadRule, match="line 2: it is not UTF-8"):
        load(colony(tmp_path, b'time_zone = "Europe/Vienna"\nname = "Zw\xf6lf"\n'))


def test_a_file_too_large_is_not_read(tmp_path: Path) -> None:
    with pytest.raises(BadRule, match="larger than 256 KB"):
        load(colony(tmp_path, HEAD.encode() + b"#" * MOST_BYTES))
    load(colony(tmp_path, HEAD.encode() + b"#" * (MOST_BYTES - len(HEAD.encode()))))
    with pytest.raises(BadRule, match="larger than 256 KB"):
        load(colony(tmp_path, HEAD.encode() + b"#" * (MOST_BYTES - len(HEAD.encode()) + 1)))


def test_a_link_out_of_the_colony_is_not_followed(tmp_path: Path) -> None:
    inside, outside = tmp_path / "colony", tmp_path / "elsewhere.toml"
    inside.mkdir()
    outside.write_text(HEAD, encoding="utf-8")
    (inside / "colony.toml").symlink_to(outside)
    with pytest.raises(BadRule, match="leads out of the colony"):
        load(inside)


@pytest.mark.parametrize("target", ["nothing-there.toml", "colony.toml"])
def test_a_link_that_leads_nowhere_is_told(tmp_path: Path, target: str) -> None:
    (tmp_path / "colony.toml").symlink_to(target)
    with pytest.raises(BadRule, match="leads nowhere"):
        load(tmp_path)


def test_a_link_within_the_colony_and_a_link_to_the_colony_are_followed(tmp_path: Path) -> None:
    folder = tmp_path / "colony"
    folder.mkdir()
    (folder / "ours.toml").write_text(HEAD, encoding="utf-8")
    (folder / "colony.toml").symlink_to("ours.toml")
    (tmp_path / "link").symlink_to(folder)
    assert load(tmp_path / "link").name == "Quandong shed"


def test_a_folder_or_a_pipe_of_that_name_is_told_and_never_waited_for(tmp_path: Path) -> None:
    for number, make in enumerate((Path.mkdir, os.mkfifo)):
        folder = tmp_path / str(number)
        folder.mkdir()
        make(folder / "colony.toml")  # type: ignore[operator]
        with pytest.raises(BadRule, match=r"not a file|cannot be read"):
            load(folder)


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_a_file_that_may_not_be_read_is_told(tmp_path: Path) -> None:
    colony(tmp_path, HEAD)
    (tmp_path / "colony.toml").chmod(0)
    with pytest.raises(BadRule, match="cannot be read"):
        load(tmp_path)


def test_a_new_colony_is_written_with_comments_and_loads(tmp_path: Path) -> None:
    path = write_new(tmp_path / "new" / "shed", 'The "wet" shed \\ 2\x1b', "Australia/Adelaide")
    found = load(tmp_path / "new" / "shed")
    assert path == tmp_path / "new" / "shed" / "colony.toml"
    assert (found.name, found.zone.key) == ('The "wet" shed \\ 2\x1b', "Australia/Adelaide")
    assert path.read_text(encoding="utf-8").isascii() is False  # °C stands in it
    assert "house_rules" in path.read_text(encoding="utf-8")
    assert [one.name for one in path.parent.iterdir()] == ["colony.toml"]
    assert not stat.S_IMODE(path.stat().st_mode) & 0o002


def test_a_new_colony_never_overwrites_one(tmp_path: Path) -> None:
    colony(tmp_path, HEAD)
    with pytest.raises(UsageError, match="left as it is"):
        write_new(tmp_path, "Other", "Europe/Vienna")
    assert load(tmp_path).name == "Quandong shed"


def test_two_who_start_a_colony_at_once_do_not_overwrite_each_other(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    looked = os.path.lexists

    def other_was_faster(path: str | Path) -> bool:
        there = looked(path)
        colony(tmp_path, HEAD)
        return there

    monkeypatch.setattr(os.path, "lexists", other_was_faster)
    with pytest.raises(UsageError, match="left as it is"):
        write_new(tmp_path, "Other", "Europe/Vienna")
    assert load(tmp_path).name == "Quandong shed"


def test_a_disk_without_hard_links_takes_a_new_colony_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def no_links(_draft: Path, _path: Path) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", no_links)
    write_new(tmp_path, "Shed", "Europe/Vienna")
    assert load(tmp_path).name == "Shed"
    assert [one.name for one in tmp_path.iterdir()] == ["colony.toml"]


def test_a_disk_that_refuses_leaves_nothing_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(system, "sync", full)
    with pytest.raises(NotSaved, match="No space left"):
        write_new(tmp_path, "Shed", "Europe/Vienna")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(("name", "zone"), [("", "Europe/Vienna"), ("Shed", "Nowhere/Town")])
def test_a_new_colony_needs_a_name_and_a_zone(tmp_path: Path, name: str, zone: str) -> None:
    with pytest.raises(BadRule):
        write_new(tmp_path / "new", name, zone)
    assert not (tmp_path / "new").exists()


def test_a_new_colony_is_not_put_into_a_file(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    with pytest.raises(UsageError, match="is a file"):
        write_new(tmp_path / "file", "Shed", "Europe/Vienna")


_KEYS = st.sampled_from(
    [*default_rules(), "name", "time_zone", "units", "desks", "keepers", "x", "value", "breeding"]
)
_VALUES = st.sampled_from(
    [
        "1 ",
        "-1",
        " 1e400 ",
        " nan ",
        " true ",
        " [1, 2] ",
        " [2, 1] ",
        " [[]] ",
        " {} ",
        ' "x" ',
        ' "FREQ=DAILY" ',
        " 2026-01-01 ",
        " 07:00:00\n    ",
        " { value = 1 } ",
        ' { value = [1, 2], source = "x" } ',
        ' { value = "FREQ=YEARLY", begins = 2026-01-01 }',
    ]
)
_LINES = st.one_of(
    st.builds(lambda key, value: f"{key} = {value}", _KEYS, _VALUES),
    st.sampled_from(["[house_rules]", "[keepers]", "[house_rules.breeding]", "[[x]]", "#", '"""']),
    st.text(max_size=12),
)


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(st.lists(_LINES, max_size=8), st.booleans())
def test_whatever_stands_in_colony_toml_it_loads_or_is_refused_with_a_sentence(
    tmp_path: Path, lines: list[str], headed: bool
) -> None:
    text = (HEAD if headed else "") + "\n".join(lines)
    colony(tmp_path, text.encode("utf-8", "surrogatepass"))
    with suppress(RoundsError):
        load(tmp_path)
