from __future__ import annotations

from dataclasses import replace

import pytest

from pipeline.physics.bench_card import bench_card
from pipeline.physics.bench_records import BenchSetting, ClutchUnit, WearState
from pipeline.physics.bench_words import meeting_sentence, wear_sentences

CARD = bench_card(
    ClutchUnit(screws=8, base_load_lb=300.0, load_per_turn_lb=8.0),
    BenchSetting(turns=(3.0,), counterweight_g=0.0, launch_rpm=6000.0),
)
WORN = WearState(2.162, 0.010, 0.012, 12.0, 0.0004, 20.0, 16.0, 26.7, 0.015, (0.010, 0.005))

MEETINGS = [
    ((), (), ""),
    ((7534.0,), (6497.0,), "between 6497 and 7534 rpm"),
    ((6500.2,), (6500.0,), "at 6500 rpm"),
    ((), (6497.0,), "at 6497 rpm"),
]


@pytest.mark.parametrize(("low", "high", "words"), MEETINGS)
def test_where_it_should_lock(low: tuple[float, ...], high: tuple[float, ...], words: str) -> None:
    said = meeting_sentence(replace(CARD, meeting_rpm_low_friction=low, meeting_rpm_high_friction=high))
    assert words in said
    assert bool(said) == bool(words)


def test_wear_in_words() -> None:
    assert wear_sentences(WORN) == (
        "Ring height 2.1620 in, +0.0120 in since service or new.",
        "It grows 0.00040 in a run; about 20 runs (16 to 27) are left to service.",
        "Shims that bring it back without passing it: 0.010 + 0.005 in from under each stand.",
    )


def test_service_due_and_unknown_limits() -> None:
    assert wear_sentences(replace(WORN, runs_to_service=0.0))[1].endswith("; service is due.")
    assert wear_sentences(replace(WORN, runs_to_service=None))[1] == "It grows 0.00040 in a run."
    no_interval = wear_sentences(replace(WORN, runs_to_service_sooner=None))
    assert no_interval[1].endswith("; about 20 runs are left to service.")


def test_nothing_measured_says_nothing() -> None:
    assert wear_sentences(CARD.wear) == ()
    only_height = replace(CARD.wear, ring_height_in=2.16)
    assert wear_sentences(only_height) == ("Ring height 2.1600 in.",)
