from __future__ import annotations

import csv
import zipfile
from pathlib import Path

import pytest

from pipeline.cautions import CAUTIONS
from pipeline.garage.logbook import Logbook
from sample_timeslips import make_season, mess, planted_truth, season_plan
from sample_timeslips.launch_simulation import CAR
from sample_timeslips.season_plan import EVENTS, PAIR, VENUES

FOLDER = Path(make_season.__file__).parent
TYPED = (*make_season.FILES.values(), "garage.toml")


@pytest.fixture(scope="module")
def season():
    made = season_plan.make()
    mess.ruin(made)
    return made


@pytest.fixture(scope="module")
def fresh(tmp_path_factory):
    folder = tmp_path_factory.mktemp("fresh")
    return folder, make_season.write_logbook(folder)


def rows_of(folder, name):
    with (folder / name).open(encoding="utf-8", newline="") as file:
        return list(csv.reader(file))


@pytest.mark.parametrize("name", TYPED)
def test_the_script_makes_the_same_bytes_again(fresh, name):
    assert (fresh[0] / name).read_bytes() == (FOLDER / "logbook" / name).read_bytes()


def test_the_script_makes_the_same_workbook_again(fresh):
    # Compression may differ between builds of zlib; what is compressed may not.
    with (
        zipfile.ZipFile(fresh[0] / make_season.WORKBOOK) as new,
        zipfile.ZipFile(FOLDER / "logbook" / make_season.WORKBOOK) as old,
    ):
        assert new.namelist() == old.namelist()
        assert all(new.read(name) == old.read(name) for name in new.namelist())


def test_two_workbooks_made_here_are_the_same_bytes(fresh, tmp_path):
    make_season.write_logbook(tmp_path)
    first, second = (folder / make_season.WORKBOOK for folder in (fresh[0], tmp_path))
    assert first.read_bytes() == second.read_bytes()


def test_out_writes_a_logbook_and_no_readme(tmp_path, monkeypatch):
    monkeypatch.setattr("sys.argv", ["make_season", "--out", str(tmp_path / "there")])
    make_season.main()
    assert sorted(p.name for p in (tmp_path / "there").iterdir()) == sorted([*TYPED, make_season.WORKBOOK])


def test_size_of_the_season(season):
    assert len(season.runs) == 160
    assert len(EVENTS) == 11
    assert len({venue.elevation_ft for venue in VENUES}) == 3
    assert [venue.length_ft for venue in VENUES].count(660.0) == 1
    assert {run.service_no for run in season.runs} == {0, 1}


def test_eighth_mile_slips_end_there(fresh):
    heading, *slips = rows_of(fresh[0], make_season.FILES["slips_spring"])
    place, quarter = heading.index("Strip"), heading.index("1/4 (s)")
    assert {bool(slip[quarter]) for slip in slips if slip[place] == "Harrow Lane"} == {False}


def test_about_three_rows_in_a_hundred_are_doubtful(fresh):
    folder, typed = fresh
    rows = sum(len(rows_of(folder, name)) - 1 for name in make_season.FILES.values())
    doubtful = {(t.doubt.sheet, t.line) for t in typed if t.doubt.sheet in make_season.FILES}
    assert 0.02 < len(doubtful) / rows < 0.05


def test_lines_named_in_the_readme_hold_what_it_says(fresh):
    folder, typed = fresh
    for entry in typed:
        if entry.doubt.sheet not in make_season.FILES:
            continue
        lines = (folder / make_season.FILES[entry.doubt.sheet]).read_text(encoding="utf-8").splitlines()
        assert entry.typed in lines[entry.line - 1].replace('"', "")
        assert entry.typed != entry.meant


def test_notes_with_commas_and_newlines_are_there(fresh):
    notes = [row[-1] for row in rows_of(fresh[0], make_season.FILES["slips_spring"])]
    assert any("," in note for note in notes)
    assert any("\n" in note for note in notes)


def test_counterweight_and_shock_never_part(season):
    assert {(run.counterweight_g, run.shock_clicks) for run in season.runs} == set(PAIR)


def test_no_run_passes_the_garage_limits(season):
    garage = Logbook.open(FOLDER / "logbook").garage
    low, high = garage.cars[0].launch_rpm_limits
    assert (low, high) == season_plan.LAUNCH_RPM_LIMITS
    assert all(low <= run.launch_rpm <= high for run in season.runs)
    assert max(run.preload_turns for run in season.runs) <= garage.clutches[0].safe_turns


def test_garage_describes_the_simulated_clutch():
    clutch = Logbook.open(FOLDER / "logbook").garage.clutches[0]
    told = (clutch.base_load_lb, clutch.spring_rate_lb_per_in, clutch.threads_per_inch, clutch.levers)
    assert told == (CAR.base_load_lb, CAR.spring_rate_lb_per_in, CAR.threads_per_inch, CAR.levers)
    assert clutch.spring_count == CAR.springs != clutch.screws
    # One turn of all screws presses every spring by one thread's pitch.
    per_turn = CAR.springs * CAR.spring_rate_lb_per_in / CAR.threads_per_inch
    assert clutch.load_per_turn_lb * clutch.screws == pytest.approx(per_turn)
    assert clutch.lever_mass_g == CAR.lever_mass_g
    assert clutch.lever_radius_in == CAR.lever_radius_in
    assert clutch.lever_ratio == CAR.lever_ratio
    assert clutch.friction[0] <= CAR.friction <= clutch.friction[1]


def test_air_of_the_season_is_what_the_pipeline_makes_of_it(season):
    # Dry air at 15 degC and 29.92 inHg: 1.225 kg/m3 (ICAO standard atmosphere) [lib].
    event = season_plan.Event("x", season_plan.HARROW, EVENTS[0].date, 1, 59, 59, 0, -60, 0)
    sea = season_plan.Event("x", season_plan.Venue("x", 0.0, 660.0, ""), event.date, 1, 59, 59, 0, -60, 0)
    assert season_plan.air_at(sea, 12.0).density_kg_per_m3 == pytest.approx(1.225, rel=5e-4)


def test_readme_carries_the_cautions():
    assert planted_truth.CAUTIONS == CAUTIONS
    readme = (FOLDER / "README.md").read_text(encoding="utf-8")
    assert all(sentence in readme for sentence in CAUTIONS)


@pytest.mark.long
def test_readme_states_what_the_script_works_out(fresh):
    again = planted_truth.readme(season_plan.make(), fresh[1])
    assert again == (FOLDER / "README.md").read_text(encoding="utf-8")
