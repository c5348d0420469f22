"""How a run went, in anybody's words."""

from pathlib import Path

import pytest

from pipeline.ingest.outcomes import read_last_good_ft, read_outcome
from tests.ingest.logbooks import column, slips_of


@pytest.mark.parametrize(
    ("outcome", "notes", "expected"),
    [
        ("Spun", None, "spun"),
        ("blew the tires off", None, "spun"),
        ("bogged bad", None, "bogged"),
        ("missed 3rd", None, "missed shift"),
        ("shut it off at half track", None, "aborted"),
        ("clean pass", None, "clean"),
        ("foul", None, "red light"),
        (None, "no spin at all", None),
        (None, "good air", None),
        (None, "lifted at the 1000", "lifted"),
        ("wobbled", None, None),
        (None, "broke the tires loose", "spun"),
        (None, "blew the tires off at the hit", "spun"),
        ("didn't hook", None, "spun"),
        ("hung the gear", None, "missed shift"),
        ("missed the 1-2", None, "missed shift"),
        ("clicked it early", None, "lifted"),
        ("lifted, had him covered", None, "lifted"),
        (None, "shut it off early, got loose", "aborted"),
        (None, "nosed over off the line", "bogged"),
        ("broke a rocker", None, "broke"),
        ("Breakage", None, "broke"),
        (None, "no spin this time", None),
        (None, "got there early", None),
        ("broke out by .02", None, None),
        (None, "broke the stage beam", None),
        (None, "broke the input shaft", "broke"),
        (None, "opponent broke", None),
        (None, "won, the other guy went red", None),
        (None, "red light in the next lane", None),
        (None, "far lane red, I spun", "spun"),
        (None, "beat my neighbour but red", "red light"),
        (None, "other lane red, mine red too", "red light"),
        (None, "beat the red truck", None),
        (None, "he lifted at the 1000", "lifted"),
    ],
)
def test_outcomes(outcome: str | None, notes: str | None, expected: str | None) -> None:
    assert read_outcome(outcome, notes) == expected


def test_where_a_run_was_spoiled() -> None:
    assert read_last_good_ft("lifted at the 1000") == 1000
    assert read_last_good_ft("missed second after the eighth") == 660
    assert read_last_good_ft("lifted") is None


@pytest.mark.parametrize(
    ("text", "is_asked"), [("観客多い", False), ("wobbled", True), ("隣は赤", False), ("謎", True)]
)
def test_a_remark_without_blanks_is_no_question(tmp_path: Path, text: str, *, is_asked: bool) -> None:
    rows = [
        f"2031-05-17,1{at}:10,1.48{at},4.06{at},6.30{at},{word}"
        for at, word in enumerate(("良好", "空転", text, "良好", "中止"))
    ]
    con, _ = slips_of(tmp_path, "\n".join(["date,time,60 ft,330 ft,660 ft,outcome", *rows]) + "\n")
    assert column(con, "questions", "value") == [text] * is_asked
