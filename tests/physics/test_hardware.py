from __future__ import annotations

import pytest

from pipeline.errors import OutOfRange
from pipeline.physics import hardware

INCH = 0.0254


def test_a_counterweight_is_the_sum_of_its_pieces() -> None:
    table = {"steel nut": 0.0036, "steel bolt 1 in": 0.0079}
    pieces = {"steel nut": 2, "steel bolt 1 in": 1}
    assert hardware.counterweight_from_hardware(pieces, table) == pytest.approx(0.0151)
    assert hardware.counterweight_from_hardware({}, table) == 0


def test_a_piece_that_is_not_weighed_is_refused() -> None:
    with pytest.raises(KeyError):
        hardware.counterweight_from_hardware({"washer": 1}, {})


def test_a_short_bolt_is_threaded_all_along() -> None:
    head = hardware.hex_mass(7 / 16 * INCH, 5 / 32 * INCH)
    thread = hardware.thread_mass(0.25 * INCH, INCH / 20, 0.5 * INCH)
    assert hardware.bolt_mass(0.25, 20, 0.5) == pytest.approx(head + thread)


def test_a_long_bolt_has_a_plain_shank() -> None:
    longer = hardware.bolt_mass(0.25, 20, 2.0) - hardware.bolt_mass(0.25, 20, 1.0)
    assert longer == pytest.approx(hardware.rod_mass(0.25 * INCH, INCH))


def test_common_hardware_covers_sizes_and_materials() -> None:
    table = hardware.common_hardware()
    assert len(table) == 3 * 2 * 8
    ratio = hardware.DENSITIES["aluminum"] / hardware.DENSITIES["steel"]
    assert table["3/8-24 aluminum bolt 1-1/2 in"] == pytest.approx(
        ratio * table["3/8-24 steel bolt 1-1/2 in"]
    )
    assert table["1/4-20 steel bolt 1/2 in"] < table["1/4-20 steel bolt 3/4 in"]


@pytest.mark.parametrize(
    "call",
    [
        lambda: hardware.counterweight_from_hardware({"nut": -1}, {"nut": 1.0}),
        lambda: hardware.standard_nut_mass(0.9, 20),
        lambda: hardware.bolt_mass(0.9, 20, 1.0),
        lambda: hardware.bolt_mass(0.25, 20, 60.0),
        lambda: hardware.pitch_diameter(0.00635, 0.00635),
        lambda: hardware.rod_mass(0.01, -1.0),
        lambda: hardware.hex_mass(1.0, 0.01),
    ],
)
def test_out_of_range_is_refused(call: object) -> None:
    with pytest.raises(OutOfRange):
        call()  # type: ignore[operator]
