"""Every page with the invented season in it, and every page with next to nothing."""

from datetime import datetime, timedelta
from typing import Any

import polars as pl

from pipeline.decide.results import Compared, Comparison
from reports.attached import AttachedPage
from reports.clutch import ClutchPage
from reports.clutch_figures import ClutchRecord
from reports.compare import ComparePage
from reports.evidence import EvidencePage
from reports.fleet import FleetPage
from reports.handout import HandoutPage, LimitLine
from reports.next import NextPage
from reports.nightly import NightlyPage
from reports.plan import PlanPage
from reports.season import SeasonPage
from tests.reports import example_results as ex

MADE = {"store_version": "1", "generated_at": "2025-10-05T09:10:00+00:00"}
LIMITS = (4500.0, 7400.0)


def season_page(**changes: Any) -> SeasonPage:
    runs = changes.pop("runs", None)
    runs = ex.example_runs() if runs is None else runs
    given: dict[str, Any] = {
        "fit": ex.example_fit(runs),
        "runs": runs,
        "questions": ex.example_questions(),
        "sheet_counts": ex.example_sheet_counts(),
        "slip_fates": ex.example_slip_fates(runs),
        "wear": ex.example_wear(),
        "next_setting": ex.example_next(),
        "plan": ex.example_plan(),
        "clutch": ClutchRecord(2.170, 0.125, ex.LOADS_THAT_HOLD, ex.example_clutch_checks()),
        **MADE,
    }
    return SeasonPage(**given | changes)


def empty_season_page() -> SeasonPage:
    return season_page(
        fit=ex.empty_fit(),
        runs=ex.example_runs(0, ()),
        questions=ex.example_questions().clear(),
        sheet_counts=ex.example_sheet_counts().clear(),
        slip_fates=ex.example_slip_fates(ex.example_runs()).clear(),
        wear=None,
        next_setting=None,
        plan=None,
        clutch=ClutchRecord(),
    )


def nightly_page(event: str = "Last Light", **changes: Any) -> NightlyPage:
    runs = changes.pop("runs", None)
    runs = ex.example_runs() if runs is None else runs
    given: dict[str, Any] = {
        "event": event,
        "fit": ex.example_fit(runs),
        "runs": runs,
        "questions": ex.example_questions(),
        "slip_fates": ex.example_slip_fates(runs),
        "wear": ex.example_wear(),
        "next_setting": ex.example_next(stay=True),
        **MADE,
    }
    return NightlyPage(**given | changes)


def evidence_page(adjustment: str = "preload", **changes: Any) -> EvidencePage:
    runs = ex.example_runs()
    given: dict[str, Any] = {
        "adjustment": adjustment,
        "fit": ex.example_fit(runs),
        "runs": runs,
        "questions": ex.example_questions(),
        "slip_fates": ex.example_slip_fates(runs),
        "plan": ex.example_plan(),
        **MADE,
    }
    return EvidencePage(**given | changes)


def next_page(*, stay: bool = False, **changes: Any) -> NextPage:
    runs = ex.example_runs()
    given: dict[str, Any] = {
        "car": ex.CAR,
        "next_setting": ex.example_next(stay=stay),
        "dash": ex.example_rpm(),
        "runs": runs,
        "launch_rpm_limits": LIMITS,
        **MADE,
    }
    return NextPage(**given | changes)


def compare_page() -> ComparePage:
    choice = ex.example_next()
    assert choice.change_to is not None
    sides = (Compared(one, ("preload",), ()) for one in (choice.change_to, choice.stay))
    found = Comparison(choice.response, choice.forecast, *sides, -0.004, -0.009, 0.001, 0.93, "A is quicker.")
    return ComparePage(ex.CAR, found, warnings=found.warnings, **MADE)


EXAMPLE_LIMITS = (
    LimitLine("preload", "preload", "1 turn", "4.5 turns", "least base load of the clutch", "safe_turns"),
    LimitLine("launch_rpm", "launch rpm", "4500 rpm", "7400 rpm", "launch_rpm_limits", "launch_rpm_limits"),
)


def handout_page(**changes: Any) -> HandoutPage:
    given: dict[str, Any] = {
        "fit": ex.example_fit(),
        "as_of": "2025-10-04",
        "wear": ex.example_wear(),
        "next_setting": ex.example_next(),
        "plan": ex.example_plan(),
        "limits": EXAMPLE_LIMITS,
        **MADE,
    }
    return HandoutPage(**given | changes)


def empty_handout_page() -> HandoutPage:
    return handout_page(fit=ex.empty_fit(), as_of="", wear=None, next_setting=None, plan=None, limits=())


def plan_page(**changes: Any) -> PlanPage:
    return PlanPage(**{"car": ex.CAR, "plan": ex.example_plan(), **MADE} | changes)


def attached_page(**changes: Any) -> AttachedPage:
    given = {"car": ex.CAR, "used": attached_rows(), "unused": unused_rows(), **MADE}
    return AttachedPage(**given | changes)


def attached_rows() -> pl.DataFrame:
    """Two events, and a run without a date that used nothing."""
    start = datetime(2025, 6, 14, 10, 0)
    rows = []
    for run_id, (event, day, number) in enumerate(
        [("Thaw Meet", 0, 1), ("Thaw Meet", 0, 2), ("Last Light", 21, 1), (None, None, 1)], 1
    ):
        run_at = None if day is None else start + timedelta(days=day, hours=number)
        run = {
            "run_id": run_id, "event": event, "run_at": run_at, "run_date": run_at and run_at.date(),
            "has_time": run_at is not None, "venue": "Mesa", "run_of_event": number,
            "slip_file": "slips.csv", "slip_sheet": "", "slip_row": run_id + 1,
        }  # fmt: skip
        used = [] if run_at is None else [
            ("setup", "slips.csv", "", run_id + 1, ["launch_rpm"], 0.0, None, True),
            ("setup", "book.xlsx", "Setups", 4, ["preload_turns", "shock_clicks"], -52.0, None, False),
            ("weather", "weather.csv", "", 7, ["air temp", "vapor"], -0.5, None, False),
            ("weather", "weather.csv", "", 8, ["air temp", "vapor"], 2.0, None, False),
            ("check", "book.xlsx", "Checks", 3, ["ring height"], -1.0, 1 - number, False),
        ]  # fmt: skip
        if number == 2:
            used = used[:-1]
        names = ("kind", "file", "sheet", "row", "quantities", "off_h", "off_runs", "is_on_slip")
        for values in used or [(None,) * 7 + (False,)]:
            use = dict(zip(names, values, strict=True))
            moment = run_at and run_at + timedelta(hours=use["off_h"])
            rows.append(run | use | {"moment": moment, "is_questioned": use["row"] == 4})
    return pl.DataFrame(rows, infer_schema_length=None)


def unused_rows() -> pl.DataFrame:
    at = datetime(2025, 6, 15, 10, 0)
    names = ("kind", "file", "sheet", "row", "moment", "venue", "nearest_run_h", "why")
    rows = [
        ("track", "<b>track</b>.csv", "", 3, at, "Mesa", 23.0, "no run near it"),
        ("check", "book.xlsx", "Checks", 9, at, None, None, "no ring height in it"),
    ]
    return pl.DataFrame(rows, schema=list(names), orient="row")


def clutch_page(**changes: Any) -> ClutchPage:
    return ClutchPage(car=ex.CAR, card=example_card() | changes, **MADE)


def example_card() -> dict[str, Any]:
    """A bench card as plain data; the loads follow springs + a square law, in round numbers."""

    def point(rpm: float) -> dict[str, Any]:
        levers = round(5.0e-5 * rpm**2)
        load = 515.0 + levers
        return {
            "rpm": rpm,
            "static_lb": 515.0,
            "centrifugal_lb": levers,
            "plate_load_lb": load,
            "worn_in_low_lb_ft": 0.198 * load,
            "worn_in_high_lb_ft": 0.255 * load,
            "new_low_lb_ft": 0.202 * load,
            "new_high_lb_ft": 0.26 * load,
            "engine_lb_ft": 480 + (rpm - 4000) / 40 if rpm >= 4000 else None,
        }

    def check(what: str, passed: bool | None) -> dict[str, Any]:
        return {"what": what, "passed": passed, "sentence": f"What was found about {what}."}

    return {
        "setting": {"turns": [3.5], "counterweight_g": 8.2, "launch_rpm": 6200.0, "shift_rpm": 8600.0},
        "preload_when_set_lb": 535.0,
        "preload_lb": 515.0,
        "at_launch": point(6200.0),
        "at_shift": point(8600.0),
        "curve": [point(float(rpm)) for rpm in range(1000, 9251, 250)],
        "meeting_rpm_low_friction": [6677.0],
        "meeting_rpm_high_friction": [5704.0],
        "worth": [
            {
                "what": "preload",
                "step": "1 turn",
                "at": "launch",
                "rpm": 6200.0,
                "load_lb": 50.0,
                "capacity_lb_ft": 11.3,
            },
            {
                "what": "growth",
                "step": "0.010 in",
                "at": "launch",
                "rpm": 6200.0,
                "load_lb": -12.0,
                "capacity_lb_ft": None,
            },
        ],
        "wear": {
            "ring_height_in": 2.1678,
            "grown_since_set_in": 0.0168,
            "grown_since_service_in": 0.0168,
            "preload_lost_lb": 20.2,
            "growth_in_per_run": None,
            "runs_to_service": 11.4,
            "shim_to_remove_in": 0.015,
            "shims_in": [0.005, 0.010],
        },
        "checks": [check("even screws", True), check("clearance", False), check("friction", None)],
        "missing": ["engine_torque"],
    }


def bare_card() -> dict[str, Any]:
    """A card of a clutch without lever geometry, friction or an engine curve."""
    card = example_card()
    nothing = dict.fromkeys(
        (
            "centrifugal_lb",
            "plate_load_lb",
            "worn_in_low_lb_ft",
            "worn_in_high_lb_ft",
            "new_low_lb_ft",
            "new_high_lb_ft",
            "engine_lb_ft",
        )
    )
    return card | {
        "at_launch": card["at_launch"] | nothing,
        "at_shift": None,
        "curve": [point | nothing for point in card["curve"]],
        "meeting_rpm_low_friction": [],
        "meeting_rpm_high_friction": [],
        "worth": [],
        "checks": [],
        "setting": card["setting"] | {"turns": [3.0, 3.0, 3.5, 3.0, 3.0, 3.0]},
        "wear": dict.fromkeys(card["wear"]) | {"shims_in": [], "grown_since_set_in": 0.0},
        "missing": ["levers", "friction"],
    }


def fleet_page(*, thin: bool = False, car: str | None = ex.CAR) -> FleetPage:
    fleet = ex.example_fleet(thin=thin)
    return FleetPage(fleet=fleet, car=car, car_effects=fleet.car_effects if car else (), **MADE)
