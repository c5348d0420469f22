from reports import words
from tests.reports.example_results import effect, example_fit, example_runs


def test_verdicts_in_plain_words() -> None:
    known = words.SETTINGS
    assert words.verdict_words(effect("t60", "preload", -3, 1, "moved"), known) == "moved it"
    assert words.verdict_words(effect("t60", "preload", -3, 4, "no_sign"), known) == "no sign of it"
    tangled = effect("t60", "preload", -3, 4, "inseparable", confounded_with=("counterweight", "launch_rpm"))
    assert words.verdict_words(tangled, known) == "can’t be told apart from counterweight or launch rpm"
    assert (
        words.verdict_words(effect("t60", "preload", None, 0, "no_sign"), known) == "too little tried to say"
    )


def test_extra_adjustments_bring_their_own_words() -> None:
    known = words.settings_of(example_fit(example_runs(2)))
    assert known["shock_clicks"].label == "rear shock"
    assert known["shock_clicks"].text(6) == "6.0 clicks"
    assert words.setting("never_heard_of", known).label == "never heard of"
    assert words.setting("bedding", known).label == "first runs after a service"


def test_settings_with_units() -> None:
    assert words.SETTINGS["preload"].text(1) == "1.00 turn"
    assert words.SETTINGS["preload"].text(3.25) == "3.25 turns"
    assert words.SETTINGS["launch_rpm"].text(6250) == "6,250 rpm"
    assert words.SETTINGS["counterweight"].text(None) == "–"


def test_lists_as_spoken() -> None:
    assert words.listed(["a"]) == "a"
    assert words.listed(["a", "", "b", "c"], "or") == "a, b or c"
    assert words.capital("x y") == "X y"
    assert words.per_step("10 degF") == "10 °F"
