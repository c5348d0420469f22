"""``attached`` on a small logbook: the file's own rows stand beside each run."""

import json
from pathlib import Path

import jsonschema
import pytest

from pipeline import stages
from pipeline.workspace import Workspace

SHEETS = {
    "slips.csv": "date,time,car,venue,60 ft\n"
    "2026-05-02,10:00,Marigold,Mesa,1.412\n2026-05-02,12:00,Marigold,Mesa,1.405\n",
    "weather.csv": "date,time,venue,air temp\n2026-05-02,09:30,Mesa,71\n2026-06-20,09:30,Mesa,80\n",
    "setups.csv": "date,time,car,launch rpm\n2026-05-02,11:00,Marigold,6200\n",
}


@pytest.fixture
def space(tmp_path: Path) -> Workspace:
    for name, text in SHEETS.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    return Workspace.of(tmp_path, store=None, out=None)


def test_attached_writes_a_page_and_json_that_agree_with_the_sheets(space: Workspace) -> None:
    outcome = stages.attached(space, event=None, car=None)
    assert [path.name for path in outcome.files] == ["attached.html", "attached.json"]
    document = json.loads(outcome.files[1].read_text(encoding="utf-8"))
    schema = Path(stages.__file__).parents[2] / "reports" / "attached.schema.json"
    jsonschema.validate(document, json.loads(schema.read_text(encoding="utf-8")))
    (event,) = document["events"]
    rows = [[(use["file"], use["row"], use["off_h"]) for use in run["used"]] for run in event["runs"]]
    assert rows == [[("weather.csv", 2, -0.5)], [("setups.csv", 2, -1.0), ("weather.csv", 2, -2.5)]]
    assert [(row["file"], row["row"]) for row in document["unused"]] == [("weather.csv", 3)]
    assert "weather.csv row 3, weather, June 20, 2026, Mesa: no run near it" in outcome.text
    one = stages.attached(space, event="2026-05-02 mesa", car="marigold").text
    assert "setups.csv row 2, 60 min before: launch rpm" in one
