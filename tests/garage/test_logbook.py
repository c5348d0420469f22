"""garage.toml: read with units, refused with every mistake at once; sheets found, links not followed."""

import os
import re
from pathlib import Path

import pytest

from pipeline.errors import GarageError, RequestError
from pipeline.files.sheets import find_sheets
from pipeline.garage.logbook import Garage, Logbook, read_garage

GOOD = """
[[car]]
name = "Marigold"
also = ["the yellow car"]
clutch = "eight-screw"
launch_rpm_limits = [4500, 7400]
tire_pressure_limits = ["55 kPa", "14 psi"]

[[clutch]]
name = "eight-screw"
base_load = "300 lb"
spring_rate = "200 lb/in"
threads_per_inch = 20
safe_turns = 6
shims = ["5 thou", 0.010]

[[venue]]
name = "Cinder Flats"
elevation = "381 m"
length = "1/8 mile"

[[adjustment]]
name = "shock_clicks"
limits = [0, 12]
"""


def garage_of(tmp_path: Path, text: str) -> Garage:
    path = tmp_path / "garage.toml"
    path.write_text(text, encoding="utf-8")
    return read_garage(path)


def test_quantities_are_read_with_or_without_units(tmp_path: Path) -> None:
    garage = garage_of(tmp_path, GOOD)
    clutch = garage.clutch_of("The Yellow Car")
    assert clutch is not None
    assert clutch.load_per_turn_lb == pytest.approx(200 / 20)
    assert clutch.shims_in == pytest.approx((0.005, 0.010))
    assert garage.venues[0].elevation_ft == pytest.approx(1250, abs=0.1)
    assert garage.venues[0].length_ft == 660
    assert garage.cars[0].tire_pressure_limits_psi == pytest.approx((7.977, 14), abs=1e-3)


def test_an_absent_file_is_an_empty_garage(tmp_path: Path) -> None:
    assert read_garage(tmp_path / "garage.toml").cars == ()


def test_all_mistakes_are_told_at_once_with_their_lines(tmp_path: Path) -> None:
    text = (
        GOOD.replace("safe_turns", "safe_turn").replace('"381 m"', '"381 degF"').replace("[0, 12]", "[12, 0]")
    )
    with pytest.raises(GarageError) as caught:
        garage_of(tmp_path, text)
    said = str(caught.value)
    lines = text.splitlines()
    assert "3 mistakes" in said
    assert "did you mean 'safe_turns'" in said
    for key in ("safe_turn", "elevation"):
        number = next(at for at, line in enumerate(lines, 1) if re.match(rf"{key} ", line))
        assert f"line {number}" in said


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (('clutch = "eight-screw"', 'clutch = "eight-scrw"'), "did you mean 'eight-screw'"),
        (("[4500, 7400]", "[7400, 4500]"), "least first"),
        (('base_load = "300 lb"', 'base_load = "heavy"'), "does not start with a number"),
        (("[[venue]]", "[[venue"), "not TOML"),
        (("safe_turns = 6", "safe_turns = 6\nreach_turns = 5"), "more than reach_turns"),
        (('name = "Marigold"', "launch = 1"), "needs a line 'name'"),
    ],
)
def test_each_kind_of_mistake_has_its_sentence(tmp_path: Path, change: tuple[str, str], said: str) -> None:
    with pytest.raises(GarageError, match=re.escape(said)):
        garage_of(tmp_path, GOOD.replace(*change))


def test_a_missing_folder_suggests_the_near_one(tmp_path: Path) -> None:
    (tmp_path / "season-31").mkdir()
    with pytest.raises(RequestError, match="season-31"):
        Logbook.open(tmp_path / "seson-31")


def test_sheets_are_found_below_but_not_through_links(tmp_path: Path) -> None:
    inside, outside = tmp_path / "log", tmp_path / "elsewhere"
    for path in (
        inside / "a.csv",
        inside / "may" / "b.XLSX",
        inside / "reports" / "no.csv",
        outside / "no.csv",
    ):
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(b"")
    for hidden in (".c.csv", "~$b.xlsx", "notes.txt"):
        (inside / hidden).write_bytes(b"")
    (inside / "link.csv").symlink_to(outside / "no.csv")
    (inside / "folder").symlink_to(outside, target_is_directory=True)
    found = find_sheets(inside)
    assert [path.name for path in found.sheets] == ["a.csv", "b.XLSX"]
    why = {name: str(why) for name, why in found.passed_over}
    assert list(why) == [".c.csv", "folder", "link.csv", "notes.txt", "~$b.xlsx"]
    assert "b.xlsx is open in a spreadsheet, so only what was saved" in why["~$b.xlsx"]
    assert "links are not followed" in why["folder"]
    assert "links are not followed" in why["link.csv"]
    assert "is hidden" in why[".c.csv"]
    assert "is no sheet" in why["notes.txt"]


def test_a_garage_that_is_a_link_a_pipe_or_endless_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "garage.toml"
    path.symlink_to("/dev/zero")
    with pytest.raises(GarageError, match=r"garage\.toml is a link"):
        read_garage(path)
    path.unlink()
    os.mkfifo(path)
    with pytest.raises(GarageError, match=r"garage\.toml is a link or no ordinary file"):
        read_garage(path)
    path.unlink()
    path.write_bytes(b"#" * 3_000_000)
    with pytest.raises(GarageError, match=r"garage\.toml is 3\.0 MB"):
        read_garage(path)


def test_the_template_of_a_new_logbook_is_valid_with_every_line_taken(tmp_path: Path) -> None:
    template = Path(__file__).parents[2] / "pipeline" / "garage" / "templates" / "garage.toml"
    text = template.read_text(encoding="utf-8")
    assert garage_of(tmp_path, text).cars[0].name == "My car"
    taken = re.sub(r"^# (?=[a-z_]+ = |\[|\")", "", text, flags=re.MULTILINE)
    garage = garage_of(tmp_path, taken)
    assert garage.adjustments[0].name == "shock_clicks"
    assert garage.clutches[0].levers == 6


def test_an_own_heading_for_no_column_is_refused_with_the_likely_one(tmp_path: Path) -> None:
    path = tmp_path / "garage.toml"
    path.write_text('[headings]\n"arm" = "counterwieght"\n"oil" = "zzz"\n', encoding="utf-8")
    with pytest.raises(GarageError, match=r"'arm' stands for 'counterwieght', .* mean 'counterweight'\?"):
        read_garage(path)
    path.write_text('[headings]\n"oil" = "zzz"\n', encoding="utf-8")
    with pytest.raises(GarageError, match=r"'oil' stands for 'zzz', which is no column; the README lists"):
        read_garage(path)


@pytest.mark.parametrize("meant", ["counterweight_g", "Launch RPM", "ring_height_in_2", "when", "rear shock"])
def test_an_own_heading_may_stand_for_any_name_of_a_column(meant: str, tmp_path: Path) -> None:
    path = tmp_path / "garage.toml"
    extra = '[[adjustment]]\nname = "shock_clicks"\nlabel = "rear shock"\n'
    path.write_text(f'{extra}[headings]\n"mine" = "{meant}"\n', encoding="utf-8")
    assert read_garage(path).headings == {"mine": meant}


@pytest.mark.parametrize(
    ("name", "limits"),
    [
        ("preload", (0.0, 6.0)),
        ("counterweight", (2.0, 9.0)),
        ("launch_rpm", None),
        ("tire_pressure", (8.0, 14.0)),
        ("shock", (0.0, 12.0)),
    ],
)
def test_the_limits_of_any_adjustment_are_found_where_they_stand(
    name: str, limits: tuple[float, float] | None
) -> None:
    garage = Garage.model_validate(
        {
            "car": [{"name": "A", "clutch": "C", "tire_pressure_limits": ["8 psi", 14]}],
            "clutch": [{"name": "C", "safe_turns": 6, "counterweight_limits": [2, "9 g"]}],
            "adjustment": [{"name": "shock", "limits": [0, 12]}],
        }
    )
    factors = {factor.name: factor for factor in garage.factors}
    assert garage.limits_of("A", factors[name]) == limits
