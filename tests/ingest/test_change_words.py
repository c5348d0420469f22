"""How settings are said to stay or to change, ditto words, lanes and kinds of pressure in many tongues."""

import pytest

from pipeline.ingest.change_words import CHANGES
from pipeline.ingest.ditto import is_ditto
from pipeline.ingest.pressure_words import PRESSURES_SAID
from pipeline.ingest.recognise.languages import ABROAD
from pipeline.ingest.spellings import LANE_WORDS, SIDES, close_lane, lane_words, read_pressure_kind
from pipeline.ingest.step_words import direction_in, is_same, step_of


def words(language: str, what: str) -> list[str]:
    return [word.replace("*", "а") for word in CHANGES[language].get(what, "").split(" | ") if word]


@pytest.mark.parametrize("language", CHANGES)
def test_changes_in_a_language(language: str) -> None:
    assert [word for word in words(language, "same") if not is_same(word)] == []
    assert [word for word in words(language, "ditto") if not is_ditto(word)] == []
    assert [word for word in words(language, "up") if step_of(f"{word} 100") != (100.0, True)] == []
    assert [word for word in words(language, "down") if step_of(f"{word} 0,5") != (-0.5, True)] == []
    assert [to for to in words(language, "to") if step_of(f"{words(language, 'up')[0]} {to} 6400")] == []


def test_every_language_of_headings_tells_changes_lanes_and_pressures() -> None:
    assert CHANGES.keys() == ABROAD.keys()
    assert ABROAD.keys() - SIDES.keys() == set()
    assert ABROAD.keys() == PRESSURES_SAID.keys()


@pytest.mark.parametrize(
    ("clause", "sign"),
    [
        ("tog bort ", "-"), ("Drehzahl runter um ", "-"), ("hoch auf ", ""), ("subimos a ", ""),
        ("subimos ", "+"), ("moved down a ", "-"), ("podniosłem o ", "+"), ("podniosłem na ", ""),
        ("Ned set it, ", ""), ("lisää ", "+"),
    ],
)  # fmt: skip
def test_the_direction_of_a_step_in_words(clause: str, sign: str) -> None:
    assert direction_in(clause) == sign


def test_no_word_stands_for_both_lanes() -> None:
    left, right = ({word for sides in SIDES.values() for word in sides[at].split()} for at in (0, 1))
    assert left & right == set()
    assert {LANE_WORDS["sx"], LANE_WORDS["kiri"], LANE_WORDS["چپ"]} == {"left"}


@pytest.mark.parametrize(
    ("one", "other"), [("S", "D"), ("B", "J"), ("Л", "П"), ("좌", "우"), ("L", "D"), ("V", "P")]
)
def test_two_letters_of_one_tongue_are_its_lanes(one: str, other: str) -> None:
    own = lane_words({one: 4, other: 5})
    assert (own[one.casefold()], own[other.casefold()]) == ("left", "right")
    assert close_lane("Ihgt") is None


@pytest.mark.parametrize(
    ("text", "kind"),
    [("på plats", "station"), ("poziom morza", "altimeter"), ("現地", "station"), ("flygplats", None)],
)
def test_kinds_of_pressure(text: str, kind: str | None) -> None:
    assert read_pressure_kind(text) == kind
