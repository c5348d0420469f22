"""How a run went, in the words of many tongues."""

import duckdb
import pytest

from pipeline.garage.dictionary import OUTCOMES
from pipeline.ingest.other_racer import WORDS
from pipeline.ingest.outcome_words import in_other_tongues, other_tongues
from pipeline.ingest.outcomes import read_outcome
from pipeline.ingest.outcomes_elsewhere import ELSEWHERE
from pipeline.ingest.outcomes_west import WEST
from pipeline.ingest.recognise.languages import ABROAD

SPOKEN = {**WEST, **ELSEWHERE}


def test_every_language_of_headings_says_how_runs_went() -> None:
    assert ABROAD.keys() == SPOKEN.keys()
    lacking = {name: set(OUTCOMES) - words.keys() for name, words in SPOKEN.items()}
    assert set().union(*lacking.values()) == set()


@pytest.mark.parametrize("language", SPOKEN)
def test_every_word_alone_is_what_it_is_listed_for(language: str) -> None:
    read = {
        word: (name, found)
        for name, words in SPOKEN[language].items()
        for word in words.split(" | ")
        if (found := read_outcome(word.strip(" ."), None)) != name
    }
    assert read == {}


@pytest.mark.parametrize("language", SPOKEN)
def test_a_red_light_of_the_other_lane_is_not_ones_own(language: str) -> None:
    reds = [word.strip(" .") for word in SPOKEN[language]["red light"].split(" | ")]
    others = [word.rstrip("*") for word in WORDS[language].split(" | ")]
    read = {text for who in others for red in reds if read_outcome(text := f"{who} {red}", None) is not None}
    assert read == set()


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("patiné au départ", "spun"), ("ha pattinato", "spun"), ("derrapó tantito", "spun"),
        ("kein Gripp, Räder durch", "spun"), ("zabuksował na starcie", "spun"),
        ("sutas vähän", "spun"), ("ホイルスピン気味", "spun"),
        ("nie trafiłem w bieg", "missed shift"), ("cambiata sbagliata", "missed shift"),
        ("não entrou a terceira", "missed shift"), ("nao entrou a terceira", "missed shift"),
        ("odpuszczony gaz", "lifted"), ("levé avant la ligne", "lifted"), ("avbröt halvvägs", "aborted"),
        ("途中で中断", "aborted"), ("λάθος ταχύτητα", "missed shift"), ("rotto il semiasse", "broke"),
        ("storknade", "bogged"), ("fulladozott", "bogged"), ("červený", "red light"),
        ("hatalı çıkış", "red light"), ("boggade rejält", "bogged"),
        # words of English that begin as one elsewhere
        ("tire rotation", None), ("dropped a spanner", None), ("new panel", None), ("Peter drove", None),
        ("calendar", None), ("Rooigras", None),
    ],
)  # fmt: skip
def test_what_a_racer_says(text: str, meant: str | None) -> None:
    assert in_other_tongues(text.casefold()) == meant


@pytest.mark.parametrize(
    "note", ["nie wszedł 3 bieg", "durchgedreht am start", "途中で中止", "gute bahn", "wind 1.42"]
)
def test_a_pattern_of_the_ways_in_the_notes_finds_what_one_of_all_ways_finds(note: str) -> None:
    con, asked = duckdb.connect(), "select coalesce(regexp_matches($note, $pattern), false)"
    both = [
        con.execute(asked, {"note": note, "pattern": pattern}).fetchall()
        for pattern in (other_tongues(), other_tongues([note, "clean"]))
    ]
    assert both[0] == both[1]


def test_notes_without_any_such_word_need_no_pattern() -> None:
    assert other_tongues(["wind 1.42"]) is None
    assert other_tongues([]) is None
