"""The bar of trust: messy logbooks made from clean ones, every kind of error at known cells."""

import json
import sys
from pathlib import Path

import pytest

from tests.corpus.measure import Tally, run_corpus
from tests.corpus.strangers import Judge, tables
from tests.corpus.truth import SLIP_FIELDS

LEAST_FOUND = 0.95
LEAST_RIGHT = 0.85
MOST_ALARMS = 0.005
LEAST_OF_A_KIND = 0.80  # no kind of error may hide behind the others


def hold_to_the_bar(tally: Tally, least_found: float) -> None:
    told = f"{tally.table()}\n" + "\n".join([*tally.misses, "false alarms:", *tally.alarms])
    assert tally.unaccounted_rows == 0, told
    assert tally.found_share >= least_found, told
    assert tally.right_share >= LEAST_RIGHT, told
    assert tally.alarm_share <= MOST_ALARMS, told


def test_a_few_messy_logbooks(tmp_path: Path) -> None:
    tally = run_corpus(tmp_path, logbooks=5, seed=20250614)
    hold_to_the_bar(tally, LEAST_FOUND - 0.03)  # sixty-odd slips: two more missed by chance


@pytest.mark.long
def test_two_hundred_messy_logbooks(tmp_path: Path) -> None:
    tally = run_corpus(tmp_path, logbooks=200, seed=1)
    sys.stdout.write(f"\n{tally.table()}\n")
    hold_to_the_bar(tally, LEAST_FOUND)
    poor = {
        kind: tally.found[kind] / count
        for kind, count in tally.injected.items()
        if tally.found[kind] < LEAST_OF_A_KIND * count
    }
    assert poor == {}


def test_a_stranger_s_book_is_judged(tmp_path: Path) -> None:
    times = [(1.4 + at / 1000, 4.1 + at / 900, f"1{at}:0{at}") for at in range(6)]
    rows = "".join(f"2031-05-14,{clock},{t60:.3f},{t330:.3f}\n" for t60, t330, clock in times)
    book = tmp_path / "plain" / "01"
    (book / "logbook").mkdir(parents=True)
    (book / "logbook" / "slips.csv").write_text("date,time,60 ft,330 ft\n" + rows.replace("1.403", "1..403"))
    runs = [
        dict.fromkeys(("car", "strip", "lane", *SLIP_FIELDS))
        | {"date": "2031-05-14", "time": clock, "t60_s": round(t60, 3), "t330_s": round(t330, 3)}
        | {"file": "slips.csv", "tab": None, "row": at, "taken_from_elsewhere": []}
        | {"where": {"t60_s": ["slips.csv", None, at, 3], "t330_s": ["slips.csv", None, at, 4]}}
        for at, (t60, t330, clock) in enumerate(times, start=2)
    ]
    slip = {"file": "slips.csv", "tab": None, "row": 5, "col": 3, "field": "t60_s", "typed": "1..403"}
    error = slip | {
        "true": "1.403",
        "type": "two_points",
        "knowable": True,
        "recoverable": True,
        "group": 1,
        "run": 3,
    }
    truth = {
        "kind": "plain",
        "everyday": True,
        "car": [],
        "strips": [],
        "runs": runs,
        "weather": [],
        "setups": [],
    }
    (book / "truth.json").write_text(json.dumps(truth | {"errors": [error]}))
    judge = Judge(garage=False)
    judge.read(book, tmp_path / "work")
    counts = judge.kinds["plain"]
    assert (counts["runs"], counts["runs_right"], counts["answers"], counts["lost"]) == (6, 6, 1, 0)
    assert (counts["cells"], counts["wrong"], counts["asked"]) == (11, 0, 0)
    assert (counts["knowable"], counts["found"], counts["right"], counts["worse"]) == (1, 1, 1, 0)
    assert "two_points" in tables(judge)
