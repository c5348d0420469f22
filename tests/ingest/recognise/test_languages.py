"""Headings in other languages than English."""

from __future__ import annotations

from collections import defaultdict
from pathlib import Path

import pytest

from pipeline.ingest.recognise.cut_short import tongue_of, written_out
from pipeline.ingest.recognise.languages import ABROAD, ONLY_THERE
from pipeline.ingest.recognise.scales import scale_in
from pipeline.ingest.recognise.tokens import FILLERS, WORDS, tokens
from pipeline.ingest.recognise.totals import TOTAL
from tests.ingest.logbooks import column, slips_of


def says_what_it_knows(text: str) -> tuple[str, float]:
    return "", float(set(tokens(text)) <= WORDS.keys())


def test_every_word_stands_for_one_thing_that_headings_know() -> None:
    meant: dict[str, set[str]] = defaultdict(set)
    for words in ABROAD.values():
        for plain, spellings in words.items():
            assert plain in WORDS
            for spelling in spellings.split():
                meant[spelling].add(plain)
    assert {spelling: plain for spelling, plain in meant.items() if len(plain) > 1} == {}


_EVERY_SHEET = """
date clock time car lane event round run reaction mph launch rpm air temp pressure humidity turns preload
screw weight lever tire outcome notes opponent driver wind clutch oil water fuel best average total
"""

AT_HOME = {"Italian": {"rpm", "turns"}}
"""What a language says with words that stand among the English ones: ``giri``."""


@pytest.mark.parametrize("language", ABROAD)
def test_a_language_says_what_a_sheet_of_runs_has(language: str) -> None:
    said = ABROAD[language].keys() | ONLY_THERE.get(language, {}).keys() | AT_HOME.get(language, set())
    assert set(_EVERY_SHEET.split()) - said == set()
    assert ABROAD[language].keys() & {"strip", "place", "track"}


@pytest.mark.parametrize("language", ABROAD)
def test_every_word_alone_is_understood(language: str) -> None:
    said = {
        word: tokens(word) for plain, words in ABROAD[language].items() for word in words.split()
        if tokens(word) != (plain,)
    }  # fmt: skip
    assert said == {}


@pytest.mark.parametrize("language", ONLY_THERE)
def test_a_word_of_two_meanings_is_doubtful_elsewhere_only(language: str) -> None:
    beside = ["".join(words.split()[:1]) for words in ABROAD[language].values()]
    for plain, words in ONLY_THERE[language].items():
        for word in words.split():
            assert tokens(word) != (plain,)  # else it need not be listed
            assert word not in ABROAD[language].get(plain, "").split()
            (_, cells), *_ = written_out([(1, [*beside, word])], says_what_it_knows)
            assert tokens(cells[-1]) == (plain,)


def test_no_word_is_an_english_one_that_says_nothing() -> None:
    words = {word for words in ABROAD.values() for spellings in words.values() for word in spellings.split()}
    assert words & FILLERS == {"uur"}


def test_the_language_that_alone_has_a_word_is_the_one() -> None:
    assert tongue_of(["Data", "Hora", "Pista", "Largada"]) == "Portuguese"
    assert tongue_of(["Date", "60 ft", "RPM"]) == ""


@pytest.mark.parametrize(
    ("labels", "meant"),
    [
        (["Czas", "Sprzęgło", "Opony", "Kierowca", "nap. wst."], ("preload", "preload")),
        (["Godz.", "Opony", "Kierowca", "wilgotn."], ("humidity",)),
        (["Ora", "Corsia", "Gomme", "Tempo"], ("time",)),
        (["Hora", "Raia", "Pneus", "Local"], ("place",)),
    ],
)
def test_a_short_word_is_of_the_language_beside_it(labels: list[str], meant: tuple[str, ...]) -> None:
    (_, cells), *_ = written_out([(1, labels)], says_what_it_knows)
    assert tokens(cells[-1]) == meant


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
        ("Température de l’air", ("temp", "de", "air")),
        ("umidità dell'aria", ("humidity", "air")),
        ("temperatura da pista", ("temp", "track")),
        ("DA ft", ("altitude", "ft")),
        ("teplota trati", ("temp", "track")),
        ("sporetemp", ("track", "temp")),
        ("Oljetemp", ("oil", "temp")),
        ("megj.", ("notes",)),
        ("תמסורת סל״ד", ("תמסורת", "rpm")),
        ("الأسفلت", ("surface",)),
        ("タイヤ空気圧", ("tire",)),
        ("T° bitume", ("temp", "surface")),
        ("Départ tr/mn", ("launch", "rpm")),
        ("quart de mille", ("d1320", "de", "mille")),
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


def test_a_speed_at_the_quarter_is_no_quarter_of_one(tmp_path: Path) -> None:
    con, _ = slips_of(
        tmp_path,
        "Datum,Uhrzeit,60 ft,Achtel Zeit,Viertel Zeit,km/h Viertel,Vorspannung (Viertel)\n"
        "2031-05-14,10:07,1.482,6.301,9.812,228,14\n2031-05-14,12:40,1.490,6.322,9.841,227,13\n",
    )
    assert [round(mph) for mph in column(con, "timeslips", "v1320_mph")] == [142, 141]
    assert column(con, "timeslips", "preload_turns") == [3.5, 3.25]


@pytest.mark.parametrize(
    ("heading", "factor"),
    [
        ("Předpětí, čtvrtiny", 0.25), ("Naciąg (ćwierci obrotu)", 0.25), ("四分の一回転 巻き", 0.25),
        ("Esijännitys puolia kierroksia", 0.5), ("Waga w dziesiątych grama", 0.1), ("brzina 201", 1.0),
    ],
)  # fmt: skip
def test_parts_of_a_unit_in_other_languages(heading: str, factor: float) -> None:
    assert scale_in(heading) == factor


@pytest.mark.parametrize("line", ["Mitjana", "en iyi 6.21", "Średnia", "vidurkis", "סה״כ", "Ø", "rata-rata"])
def test_lines_of_totals_in_other_languages(line: str) -> None:
    assert TOTAL.match(line)


@pytest.mark.parametrize("line", ["Som igår", "Meadow Flats", "Sumner", "Bora wind"])
def test_lines_that_sum_nothing_up(line: str) -> None:
    assert TOTAL.match(line) is None
