"""A new logbook is complete, never overwrites, and its blank sheets are understood."""

import csv
import re
from pathlib import Path

import fastexcel
import pytest

from pipeline.decide.holding import Holding, holding_of
from pipeline.errors import RequestError
from pipeline.garage.logbook import read_garage
from pipeline.garage.new_logbook import SHEETS, copy_demo, make_logbook


def test_every_sheet_is_there_as_csv_and_as_a_tab(tmp_path: Path) -> None:
    written = make_logbook(tmp_path / "season")
    assert {path.name for path in written} >= {"garage.toml", "logbook.xlsx", "timeslips.csv", "checks.csv"}
    book = fastexcel.read_excel(tmp_path / "season" / "logbook.xlsx")
    assert book.sheet_names == [sheet.name for sheet in SHEETS]
    for sheet in SHEETS:
        with (tmp_path / "season" / f"{sheet.name}.csv").open(newline="", encoding="utf-8") as file:
            assert tuple(next(csv.reader(file))) == sheet.headings


def test_a_folder_with_anything_in_it_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("years of notes", encoding="utf-8")
    with pytest.raises(RequestError, match="not empty"):
        make_logbook(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


def test_drop_downs_name_headings_that_exist() -> None:
    for sheet in SHEETS:
        assert set(sheet.choices) <= set(sheet.headings)


def test_the_demo_is_copied_without_reports_or_answers(tmp_path: Path) -> None:
    names = {path.name for path in copy_demo(tmp_path / "demo")}
    assert "garage.toml" in names
    assert not any(name.endswith(".duckdb") or name == "questions.csv" for name in names)


def test_the_examples_of_garage_toml_fit_each_other(tmp_path: Path) -> None:
    make_logbook(tmp_path / "season")
    path = tmp_path / "season" / "garage.toml"
    said, examples = path.read_text(encoding="utf-8").split("[[car]]", 1)
    taken = re.sub(r'(?m)^# (?=[\[a-z"])', "", examples)
    path.write_text(f"{said}[[car]]{taken}", encoding="utf-8")
    garage = read_garage(path)
    holding = holding_of(garage.cars[0], garage.clutches[0], garage.clutches[0].service_growth_in)
    assert isinstance(holding, Holding)
    assert holding.locks({"preload": 1.0, "counterweight": 0.0})
