"""The basis: slopes are exact, units do not matter, what does not vary is dropped with a reason."""

import numpy as np
import polars as pl
import pytest

from pipeline.season import basis
from pipeline.season.build_spec import build_spec
from pipeline.season.facts import CarFacts
from pipeline.season.recorded import raw_values
from pipeline.season.spec import STRAIN
from tests.season.seasons import FACTS, FACTS_WITHOUT_GEOMETRY, season

SHOCK = FACTS.extras[0]
DIFFERENCE_TOLERANCE = 1e-7  # a central difference of a cubic at h = 1e-4 is good to h^2


@pytest.mark.parametrize("facts", [FACTS, FACTS_WITHOUT_GEOMETRY], ids=["load", "raw"])
@pytest.mark.parametrize(
    "name",
    ["preload", "counterweight", "launch_rpm", "air_density", "track_temp", "wear", "shock_clicks"],
)
def test_slopes_equal_central_differences(facts: CarFacts, name: str) -> None:
    runs = season(3, runs=40, events=4)
    spec = build_spec(runs, facts)
    state = basis.to_steps(spec, runs)
    nudge = np.zeros(state.shape[1])
    nudge[spec.index(name)] = 1e-4
    numeric = (basis.design(spec, state + nudge) - basis.design(spec, state - nudge)) / 2e-4
    assert basis.gradient(spec, state, name) == pytest.approx(numeric, abs=DIFFERENCE_TOLERANCE)


def test_load_is_one_for_one_turn_and_follows_rpm_squared() -> None:
    runs = season(3, runs=40, events=4)
    spec = build_spec(runs, FACTS)
    here = {factor.name: factor.reference for factor in spec.factors}
    more = basis.state_of(spec, {**here, "preload": here["preload"] + 1})
    assert basis.plate_load(spec, more) == pytest.approx([1.0], abs=1e-12)
    clutch = FACTS.clutch
    assert clutch is not None
    fast = basis.state_of(spec, {**here, "launch_rpm": 2 * here["launch_rpm"]})
    weight = clutch.lever_mass_g + here["counterweight"]
    expected = 3 * clutch.lb_per_g_rpm2 * weight * here["launch_rpm"] ** 2 / clutch.lb_per_turn
    assert basis.plate_load(spec, fast) == pytest.approx([expected], rel=1e-12)


def test_strain_is_load_at_the_usual_rpm_over_rpm_and_air() -> None:
    runs = season(3, runs=40, events=4)
    spec = build_spec(runs, FACTS)
    clutch, here = FACTS.clutch, {factor.name: factor.reference for factor in spec.factors}
    assert clutch is not None
    weight = clutch.lever_mass_g + here["counterweight"]
    levers = clutch.lb_per_g_rpm2 * weight * here["launch_rpm"] ** 2
    static = clutch.base_load_lb + clutch.lb_per_turn * here["preload"]
    static += clutch.wear_sign * clutch.spring_rate_lb_per_in * here["wear"]
    whole = (static + levers) / clutch.lb_per_turn
    more = basis.state_of(spec, {"preload": here["preload"] + 1})
    assert basis.strain(spec, more) == pytest.approx([1.0], abs=1e-12)
    for name in ("launch_rpm", "air_density"):
        tenth = basis.state_of(spec, {name: 1.1 * here[name]})
        assert basis.strain(spec, tenth) == pytest.approx([whole / 1.1 - whole], rel=1e-9)


def test_wear_lowers_load_by_rate_times_growth() -> None:
    runs = season(3, runs=40, events=4)
    spec = build_spec(runs, FACTS)
    worn = basis.state_of(spec, {"wear": spec.factor("wear").reference + 0.020})
    assert basis.plate_load(spec, worn) == pytest.approx([-1200 * 0.020 / 50.0], rel=1e-9)


def test_a_setting_never_changed_is_dropped_with_its_value() -> None:
    spec = build_spec(season(3, runs=40, events=4), FACTS)
    assert "tire_pressure" not in spec.column_names
    assert any("Tire pressure never changed (10 psi throughout)" in line for line in spec.dropped)


def test_extras_read_from_map_column_and_from_own_column() -> None:
    runs = season(3, runs=10, events=1)
    own = runs.with_columns(shock_clicks=pl.col("extras").list.first().struct.field("value")).drop("extras")
    assert raw_values(runs, SHOCK).tolist() == raw_values(own, SHOCK).tolist()


def test_unknown_factor_is_a_key_error() -> None:
    spec = build_spec(season(3, runs=10, events=1), FACTS)
    with pytest.raises(KeyError):
        spec.index("nitrous")


def test_fallback_has_every_square_and_product_of_settings() -> None:
    spec = build_spec(season(3, runs=60, events=6), FACTS_WITHOUT_GEOMETRY)
    wanted = {"preload^2", "counterweight^2", "launch_rpm^2", "preload x counterweight"}
    assert wanted | {"preload x launch_rpm", "counterweight x launch_rpm"} <= set(spec.column_names)
    assert STRAIN not in spec.column_names
