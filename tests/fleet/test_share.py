"""Shared sums: pooling them equals pooling the runs, and nothing of a run can be read from the file."""

import json
from pathlib import Path

import numpy as np
import polars as pl
import pytest

from pipeline.errors import RequestError, SheetError, ThinData
from pipeline.fleet.model import fit_fleet
from pipeline.fleet.passes import LAM_LADDER
from pipeline.fleet.share import LEAST_RUNS, read_share, write_share
from tests.fleet.fleet_tools import fleet, sums_of

SAME_S = 1e-9
"""Seconds: the same sums in another order of addition."""

KIND = "ten-spring single disc"


def ladder_sums(runs: pl.DataFrame):
    return sums_of(runs, ladder=LAM_LADDER)


def share(path: Path, runs: pl.DataFrame, label: str):
    write_share(path, ladder_sums(runs), clutch_type=KIND, response="t60")
    kind, response, sums = read_share(path, label=label)
    assert (kind, response) == (KIND, "t60")
    return sums


def test_pooling_two_shares_equals_pooling_the_runs(tmp_path: Path) -> None:
    """Two shops' files, and ours, against all runs in one place."""
    ours = fleet(31, 12, runs=40, prefix="ours").runs
    theirs = fleet(32, 15, runs=30, prefix="theirs", ruined=0.05).runs
    third = fleet(33, 9, runs=50, prefix="third").runs
    files = [share(tmp_path / "a.json", theirs, "shop A"), share(tmp_path / "b.json", third, "shop B")]
    (pooled,), _ = fit_fleet({KIND: [ladder_sums(ours), *files]})
    (whole,), _ = fit_fleet({KIND: [ladder_sums(pl.concat([ours, theirs, third]))]})
    assert pooled.sums.lam[0] == whole.sums.lam[0]
    assert pooled.prior.mean == pytest.approx(whole.prior.mean, abs=SAME_S)
    assert pooled.prior.cov == pytest.approx(whole.prior.cov, rel=1e-5, abs=1e-12)
    mine_pooled = [str(car).startswith("ours") for car in pooled.sums.car]
    mine_whole = [str(car).startswith("ours") for car in whole.sums.car]
    for name in ("mean", "low", "high"):
        together, apart = getattr(whole.pooled, name)[mine_whole], getattr(pooled.pooled, name)[mine_pooled]
        assert apart == pytest.approx(together, abs=1e-7), name


def test_the_file_holds_no_names_times_settings_or_places(tmp_path: Path) -> None:
    runs = fleet(34, 6, runs=30, prefix="secret name").runs
    path = tmp_path / "out.json"
    write_share(path, ladder_sums(runs), clutch_type=KIND, response="t60")
    text = path.read_text(encoding="utf-8")
    assert "secret" not in text
    moved = runs.with_columns(
        pl.col("t60_s") + 0.111,
        pl.col("preload_turns") + 0.5,
        pl.col("counterweight_g") + 2,
        pl.col("launch_rpm") + 300,
        pl.col("track_temp_degf") - 7,
        event=pl.lit("Elsewhere ") + pl.col("event"),
    )
    write_share(tmp_path / "moved.json", ladder_sums(moved), clutch_type=KIND, response="t60")
    was, now = (
        json.loads(each.read_text(encoding="utf-8"))["cars"] for each in (path, tmp_path / "moved.json")
    )
    for before, after in zip(was, now, strict=True):
        assert before.keys() == after.keys()
        for name in before:
            assert np.array(after[name]) == pytest.approx(np.array(before[name]), rel=1e-6, abs=1e-6), name


def test_cars_with_few_runs_are_left_out_and_counted(tmp_path: Path) -> None:
    few = fleet(35, 3, runs=LEAST_RUNS - 1, prefix="few").runs
    many = fleet(36, 4, runs=20, prefix="many").runs
    sums = ladder_sums(pl.concat([few, many]))
    assert write_share(tmp_path / "s.json", sums, clutch_type=KIND, response="t60") == (4, 3)
    with pytest.raises(ThinData, match="nothing is shared"):
        write_share(tmp_path / "n.json", ladder_sums(few), clutch_type=KIND, response="t60")
    assert not (tmp_path / "n.json").exists()


def test_sums_at_one_ratio_only_are_not_shared(tmp_path: Path) -> None:
    with pytest.raises(RequestError, match="ratios"):
        write_share(
            tmp_path / "s.json", sums_of(fleet(37, 3, runs=20).runs), clutch_type=KIND, response="t60"
        )


@pytest.fixture
def written(tmp_path: Path) -> Path:
    path = tmp_path / "s.json"
    write_share(path, ladder_sums(fleet(38, 3, runs=20).runs), clutch_type=KIND, response="t60")
    return path


def change(path: Path, **values: object) -> Path:
    document = json.loads(path.read_text()) | values
    path.write_text(json.dumps(document))
    return path


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ({"kind": "shopping list"}, "not a file of shared sums"),
        ({"version": 99}, "version 99"),
        ({"basis": "other"}, "basis 'other'"),
        ({"ratios": [1.0]}, "ratios"),
        ({"response": "t9"}, "no time known"),
        ({"cars": [{}]}, "damaged"),
    ],
)
def test_a_file_of_another_kind_is_refused_with_its_fault(
    written: Path, values: dict[str, object], said: str
) -> None:
    with pytest.raises(SheetError, match=said):
        read_share(change(written, **values))


@pytest.mark.parametrize(
    ("name", "value"),
    [("runs", 1), ("products", None), ("log_det", [1.0, None, 1.0, 1.0])],
)
def test_numbers_no_runs_could_give_are_refused(written: Path, name: str, value: object) -> None:
    cars = json.loads(written.read_text())["cars"]
    if name == "products":
        value = [[-number for number in row] for row in cars[0]["products"]]
    cars[0][name] = value
    with pytest.raises(SheetError, match="damaged"):
        read_share(change(written, cars=cars))


def test_what_is_no_json_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "s.json"
    path.write_bytes(b"\xff\xfe not json")
    with pytest.raises(SheetError, match="cannot be read"):
        read_share(path)
    with pytest.raises(SheetError, match="cannot be read"):
        read_share(tmp_path / "absent.json")


def test_sums_made_in_different_ways_are_not_pooled() -> None:
    runs = fleet(39, 3, runs=20).runs
    with pytest.raises(RequestError, match="different ways"):
        fit_fleet({KIND: [ladder_sums(runs), sums_of(runs, ladder=(0.44,))]})
