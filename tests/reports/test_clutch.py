from reports import clutch
from tests.reports import example_pages as pages
from tests.reports.test_season import words_of


def test_the_card_in_short() -> None:
    text = words_of(clutch.render(pages.clutch_page()))
    assert "515 lb now, 535 lb when set." in text
    assert "Capacity meets the engine between 5,704 and 6,677 rpm" in text
    assert "never trust it blindly" in text
    assert "one turn of every screw" in text
    assert "in order" in text
    assert "see to it" in text
    assert "not measured" in text
    assert "engine_torque" in text


def test_a_clutch_of_which_little_is_known_says_what_is_missing() -> None:
    text = words_of(clutch.render(pages.clutch_page(**pages.bare_card())))
    assert "To work out torque capacity, add " in text
    assert "It takes a load per turn" in text
    assert "Nothing was measured that could be checked." in text
    assert "levers and friction" in text
    assert "3.00 3.00 3.50" in text


def test_one_meeting_speed_is_said_as_one() -> None:
    card = pages.example_card() | {"meeting_rpm_low_friction": []}
    assert "near 5,704 rpm" in words_of(clutch.render(pages.clutch_page(**card)))


def test_torque_capacity_names_the_lines_it_misses_and_no_others() -> None:
    card = pages.bare_card() | {"missing": ["friction_faces", "engine_torque", "spring_rate"]}
    text = words_of(clutch.render(pages.clutch_page(**card)))
    assert "To work out torque capacity, add friction_faces to [[clutch]] in garage.toml." in text
