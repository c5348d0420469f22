import dataclasses

from reports import fleet
from tests.reports import example_pages as pages
from tests.reports.test_season import words_of


def test_own_and_pooled_estimates_stand_side_by_side() -> None:
    text = words_of(fleet.render(pages.fleet_page()))
    assert "Marigold: its own runs, and with the fleet behind it" in text
    assert "preload, 1 turn 10 −7.1 −13.1 to −1.1 −4.7 −7.5 to −1.9" in text
    assert "41 of 43 cars teach what to expect." in text


def test_the_answer_begins_with_what_moves_the_kinds_cars_and_then_what_it_rests_on() -> None:
    text = words_of(fleet.render(pages.fleet_page(car=None)))
    first = text.index("Ten-spring single disc. What moves 60 ft over its cars")
    assert "preload −4.1 per turn (−5.0 to −3.2; cars differ by 2.6) and counterweight" in text
    assert "No sign over its cars of launch rpm." in text
    assert first < text.index("What it rests on.")


def test_who_differs_and_who_needs_looking_after() -> None:
    text = words_of(fleet.render(pages.fleet_page(car=None)))
    assert "1 car differs from its kind, 1 car has typing trouble and 1 car is due for service." in text
    assert "Thistle gets slower with preload" in text
    assert "Burdock is past its service growth." in text
    assert "its own runs, and with the fleet" not in text


def test_a_fleet_with_nothing_to_pool_says_so() -> None:
    text = words_of(fleet.render(pages.fleet_page(thin=True)))
    assert "No car of this fleet has enough usable runs" in text
    assert "No kind of clutch has enough cars" in text
    assert "No car stands out" in text
    assert "ask for one with --car NAME" in text
    assert "Marigold has no run that can be pooled" in text


def test_a_large_fleet_is_cut_and_counted() -> None:
    page = pages.fleet_page()
    many = dataclasses.replace(
        page.fleet, car_effects=page.fleet.car_effects * 30, odd_cars=page.fleet.odd_cars * 61
    )
    text = words_of(fleet.render(dataclasses.replace(page, fleet=many)))
    assert "1 car that differs and 30 estimates" in text
