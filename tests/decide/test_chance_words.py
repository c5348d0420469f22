import pytest

from pipeline.decide.chance_words import chance_words
from pipeline.decide.results import SettingChoice


@pytest.mark.parametrize(
    ("spin", "bog", "said"),
    [
        (None, None, ""),
        (0.01, 0.004, ""),
        (0.0204, 0.02, ""),  # the table says 2 % of most settings
        (0.0435, 0.0, " There about 1 launch in 25 spins."),
        (0.34, 0.01, " There about 1 launch in 3 spins."),
        (0.05, 0.1, " There about 1 launch in 20 spins and 1 launch in 10 bogs."),
        (0.5, 0.0, " There about every second launch spins."),
        (0.97, 0.0, " There about 9 launches in 10 spin."),
    ],
)
def test_chances_are_said_as_racers_say_them(spin, bog, said):
    assert chance_words(SettingChoice({}, 1.4, 1.38, 1.45, p_spin=spin, p_bog=bog)) == said
