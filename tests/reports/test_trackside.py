"""The sheet to print: every box a person needs, its headings understood by ingest, nothing from outside."""

import pytest

from pipeline.garage.logbook import Garage
from pipeline.ingest.headings import vocabulary
from reports.trackside import RUN_BOXES, render_trackside


def test_the_page_carries_its_caution_and_nothing_from_outside() -> None:
    html = render_trackside()
    assert "safely supported" in html
    assert "http" not in html.replace("http-equiv", "")


@pytest.mark.parametrize("runs", [4, 8])
def test_it_has_a_row_for_each_run(runs: int) -> None:
    assert render_trackside(runs).count('scope="row"') == runs


def test_its_headings_are_those_of_a_sheet() -> None:
    known = vocabulary("timeslips", Garage.model_validate({}))
    spelled = {text for column in known.values() for text in (column.heading, *column.aliases)}
    headings = {box.heading.removesuffix(" (F)") for box in RUN_BOXES[:-1]}
    assert headings <= spelled
