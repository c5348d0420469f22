"""The sheet to print and the form: every box a person needs, headings ingest knows, nothing from outside."""

import pytest

from pipeline.garage.dictionary import TIMESLIPS
from pipeline.garage.factors import BY_COLUMN
from pipeline.garage.logbook import Garage
from pipeline.ingest.headings import vocabulary
from reports.trackside import RUN_BOXES, entry_fields, render_trackside


def test_the_page_carries_its_caution_and_nothing_from_outside() -> None:
    html = render_trackside()
    assert "safely supported" in html
    assert "http" not in html.replace("http-equiv", "")


@pytest.mark.parametrize("runs", [4, 8])
def test_it_has_a_row_for_each_run(runs: int) -> None:
    assert render_trackside(runs).count('scope="row"') == runs


def test_the_form_asks_for_what_a_sheet_knows_and_carries_every_setting_on() -> None:
    known = vocabulary("timeslips", Garage.model_validate({}))
    fields = {field["name"]: field for field in entry_fields()}
    assert set(fields) <= set(known)
    assert {name for name, field in fields.items() if field["kind"] == "setting"} == set(BY_COLUMN) & {
        column.name for column in TIMESLIPS.of_role("setting")
    }
    splits = [field for field in fields.values() if field["kind"] == "time"]
    assert [field["low"] for field in splits] == sorted(field["low"] for field in splits)
    html = render_trackside()
    assert all(f'for="f-{name}"' in html for name in fields)


def test_its_headings_are_those_of_a_sheet() -> None:
    known = vocabulary("timeslips", Garage.model_validate({}))
    spelled = {text for column in known.values() for text in (column.heading, *column.aliases)}
    headings = {box.heading.removesuffix(" (F)") for box in RUN_BOXES[:-1]}
    assert headings <= spelled
