"""Headings in other languages than English."""

from __future__ import annotations

from collections import defaultdict
from pathlib import Path

import pytest

from pipeline.ingest.recognise.languages import ABROAD
from pipeline.ingest.recognise.tokens import WORDS, tokens
from tests.ingest.logbooks import column, slips_of


def test_every_word_stands_for_one_thing_that_headings_know() -> None:
    meant: dict[str, set[str]] = defaultdict(set)
    for words in ABROAD.values():
        for plain, spellings in words.items():
            assert plain in WORDS
            for spelling in spellings.split():
                meant[spelling].add(plain)
    assert {spelling: plain for spelling, plain in meant.items() if len(plain) > 1} == {}


@pytest.mark.parametrize(
    ("heading", "meant"),
    [
        ("ciśnienie", ("pressure",)),
        ("temp. asfaltu °C", ("temp", "surface", "c")),
        ("路面温度", ("surface", "temp")),
        ("気温(℃)", ("air", "temp", "c")),
        ("obr./min", ("rpm",)),
        ("Tr/min", ("rpm",)),
        ("Luftfeuchtigkeit", ("humidity",)),
    ],
)
def test_a_heading_in_another_language(heading: str, meant: tuple[str, ...]) -> None:
    assert tokens(heading) == meant


def test_a_short_english_word_is_not_taken_for_a_foreign_one() -> None:
    assert tokens("Crew") == ("crew",)


def test_a_sheet_from_hungary(tmp_path: Path) -> None:
    con, _ = slips_of(
        tmp_path,
        "nap,időpont,reakció,60 láb,201 m idő,201 m sebesség km/h,rajt fordulatszám,előfeszítés,eredmény\n"
        "2031-05-14,10:07,0.071,1.482,6.301,183.1,6.2k,3,tiszta\n"
        "2031-05-14,12:40,0.102,1.490,6.322,182.6,6200,ugyanaz,\n",
    )
    assert column(con, "timeslips", "t60_s", "t660_s") == [(1.482, 6.301), (1.490, 6.322)]
    assert column(con, "timeslips", "launch_rpm", "preload_turns") == [(6200.0, 3.0), (6200.0, 3.0)]
