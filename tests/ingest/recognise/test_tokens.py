"""Headings as plain words, whoever wrote them."""

import pytest

from pipeline.ingest.recognise.tokens import tokens


@pytest.mark.parametrize(
    ("heading", "words"),
    [
        ("ET60", {"et", "d60"}), ("MPH660", {"mph", "d660"}), ("MPH8", {"mph", "d660"}),
        ("1/8 M.P.H.", {"mph", "d660"}), ("R/T", {"reaction"}), ("Lite", {"reaction"}),
        ("QNH", {"altimeter"}),
        ("CW g/arm", {"weight", "gram", "lever"}), ("CTR WT EA ARM", {"weight", "lever"}),
        ("AirTemp", {"air", "temp"}), ("Presión", {"pressure"}), ("Luftfeuchte (%)", {"humidity"}),
        ("Ring hgt", {"ring", "height"}), ("Temprature", {"temp"}), ("Circuit", {"strip"}),
    ],
)  # fmt: skip
def test_what_a_heading_says(heading: str, words: set[str]) -> None:
    assert words <= set(tokens(heading))
