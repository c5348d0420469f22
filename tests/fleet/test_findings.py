"""What a fleet tells people: side by side estimates, odd cars, typing trouble, service due."""

from dataclasses import replace

import polars as pl
import pytest

from pipeline.errors import RequestError, ThinData
from pipeline.fleet import basis as fb
from pipeline.fleet import findings as fleet_findings
from pipeline.fleet.findings import (
    car_effects,
    fleet_fit,
    service_due_of,
    typing_trouble,
    typing_trouble_of,
)
from pipeline.fleet.model import fit_fleet, place_of, solve_fleet
from pipeline.fleet.passes import LAM_LADDER
from pipeline.fleet.read import FleetCar
from pipeline.fleet.season import season_prior
from pipeline.season.fit import fit_season
from pipeline.season.results import Wear, WearService
from tests.fleet.fleet_tools import fleet, sums_of
from tests.season.seasons import FACTS_WITHOUT_GEOMETRY, season

KIND = "ten-spring single disc"


@pytest.fixture(scope="module")
def model():
    return solve_fleet(sums_of(fleet(51, 40, odd=(0, 9.0)).runs), clutch_type=KIND)


@pytest.fixture(scope="module")
def fit(model):
    return fleet_fit([model], "t60")


def test_every_car_is_shown_alone_and_pooled(model, fit) -> None:
    assert len(fit.car_effects) == 40 * len(fb.EFFECTS)
    for effect in fit.car_effects:
        assert effect.own_low_s < effect.own_s < effect.own_high_s
        assert effect.pooled_low_s < effect.pooled_s < effect.pooled_high_s
    assert [e for e in fit.car_effects if e.car == "car 000003"] == list(car_effects(model, 2))


def test_pooled_limits_are_narrower_than_the_cars_own(fit) -> None:
    own = sum(e.own_high_s - e.own_low_s for e in fit.car_effects)
    pooled = sum(e.pooled_high_s - e.pooled_low_s for e in fit.car_effects)
    assert pooled < 0.95 * own


def test_fleet_effects_have_limits_and_a_spread(fit) -> None:
    assert [effect.adjustment for effect in fit.effects] == [fb.NAMES[j] for j in fb.EFFECTS]
    for effect in fit.effects:
        assert effect.low_s < effect.mean_s < effect.high_s
        assert effect.spread_s > 0


def test_the_odd_car_is_named_with_both_numbers(fit) -> None:
    first = fit.odd_cars[0]
    assert (first.car, first.adjustment) == ("car 000001", "preload")
    assert first.spreads_out > 3
    assert first.car in first.sentence
    assert "thousandths" in first.sentence


def test_the_prior_is_given_to_be_stored(model, fit) -> None:
    assert [row.coefficient for row in fit.prior] == list(fb.NAMES)
    assert fit.prior[1].covariance_s2[0] == fit.prior[0].covariance_s2[1]
    assert fit.prior[0].sd_s ** 2 == pytest.approx(fit.prior[0].covariance_s2[0])
    assert fit.groups[0].cars == 40


def test_cars_of_a_large_fleet_are_not_all_listed(model, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fleet_findings, "LISTED_CARS", 10)
    fit = fleet_fit([model], "t60")
    assert fit.car_effects == ()
    assert any("by name" in sentence for sentence in fit.sentences)


def test_a_car_is_found_by_name_whatever_its_case(model) -> None:
    assert place_of([model], "CAR 000007") == (model, 6)
    with pytest.raises(RequestError, match="no car 'Nobody'"):
        place_of([model], "Nobody")


def test_clutch_types_are_pooled_apart_and_thin_ones_named() -> None:
    many = sums_of(fleet(52, 6, runs=20).runs, ladder=LAM_LADDER)
    two = sums_of(fleet(53, 2, runs=20, prefix="other").runs, ladder=LAM_LADDER)
    models, said = fit_fleet({"ten-spring": [many], "diaphragm": [two]})
    assert [each.clutch_type for each in models] == ["ten-spring"]
    assert "'diaphragm'" in said[0]
    with pytest.raises(ThinData):
        fit_fleet({"diaphragm": [two]})
    with pytest.raises(ThinData, match="no cars"):
        fit_fleet({})


def test_typing_trouble_is_told_from_chance() -> None:
    cells = [(f"car {i}", 1000, 5) for i in range(30)] + [("scribbler", 1000, 40)]
    (found,) = typing_trouble(cells)
    assert (found.car, found.share) == ("scribbler", 0.04)
    assert "40 of 1000" in found.sentence
    assert typing_trouble([("one", 10, 2), ("two", 1000, 0)]) == ()
    assert typing_trouble([]) == ()


def a_car(name: str, **values: object) -> FleetCar:
    return FleetCar(name, "book", KIND, pl.DataFrame(), **values)  # type: ignore[arg-type]


def worn(now_in: float, runs_left: float | None) -> Wear:
    stretch = WearService(0, "2031-04-01", "2031-09-01", 60, 2.150, now_in, 0.0002, None)
    worn = Wear(now_in, 0.0002, None, None, None, runs_left, None, (), (stretch,), "")
    return replace(worn, grown_since_service_in=now_in - stretch.ring_height_start_in)


def test_service_is_announced_by_growth_or_by_runs_left() -> None:
    cars = [
        a_car("fresh", wear=worn(2.153, 80.0), service_growth_in=0.020),
        a_car("worn", wear=worn(2.172, -10.0), service_growth_in=0.020),
        a_car("soon", wear=worn(2.160, 6.0), service_growth_in=0.020),
        a_car("silent", wear=worn(2.180, 0.0)),
        a_car("unmeasured", service_growth_in=0.020),
    ]
    found = service_due_of(cars)
    assert [due.car for due in found] == ["worn", "soon"]
    assert "due now" in found[0].sentence
    assert "about 6 runs" in found[1].sentence


def test_typing_trouble_of_logbooks_counts_their_questions() -> None:
    cars = [a_car(f"car {i}", entries=800, doubtful=3) for i in range(20)]
    cars.append(a_car("scribbler", entries=800, doubtful=60))
    assert [trouble.car for trouble in typing_trouble_of(cars)] == ["scribbler"]


def test_a_car_of_the_fleet_gets_its_season_report_with_the_pooled_prior(model) -> None:
    runs = season(8, runs=10, events=3)
    prior = season_prior([model], "car 000002")
    alone = fit_season(runs, FACTS_WITHOUT_GEOMETRY).season
    pooled = fit_season(runs, FACTS_WITHOUT_GEOMETRY, prior=prior).season

    def width(fit) -> float:
        found = [e for e in fit.effects if e.response == "t60" and e.per_step_s is not None]
        return next(e.high_s - e.low_s for e in found if e.adjustment == "launch_rpm")

    assert width(pooled) < width(alone)
    with pytest.raises(RequestError):
        season_prior([model], "Nobody")
