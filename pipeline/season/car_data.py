"""One car's part of the store, gathered for a stage: its runs, checks, questions and results."""

from __future__ import annotations

from dataclasses import dataclass

import duckdb
import polars as pl

from pipeline.decide.results import NextSetting, PhoneModel, TestPlan
from pipeline.garage.factors import ADJUSTMENTS
from pipeline.garage.logbook import Garage
from pipeline.garage.parts import Car, Clutch
from pipeline.season.facts import CarFacts, ClutchFacts
from pipeline.season.in_force import Doubt, doubts_in_force, present_settings
from pipeline.season.results import GivenAdvice, Wear
from pipeline.season.season_fit import SeasonFit
from pipeline.season.wear_state import wear_of
from pipeline.store.advice_given import advice_of
from pipeline.store.database import STORE_VERSION, query
from pipeline.store.results_tables import read_season_fit, read_single
from pipeline.store.tables import car_names, read_table


@dataclass(frozen=True, slots=True)
class CarData:
    """Everything the report stages need of one car.

    Attributes
    ----------
    car, garage_car, clutch, garage
        The car by name and as described; ``clutch`` is None when it is not.
    cars
        Every car with runs in this logbook.
    runs, checks, setups, services
        Its rows of those tables; ``services`` is ``clutch_checks``, the checks with the services told apart.
    questions, sheet_counts
        Of the whole logbook; questions are those that wait for an answer.
    doubts
        The entries among them on which its present setting, or a limit of it, depends.
    slip_fates
        What became of each of its slips: file, sheet, row, event, fate.
    fit
        Empty when the modelling stage was not asked for.
    wear, next_setting, plan, phone_model
        None when they could not be worked out.
    waiting
        Entries that wait for an answer.
    problems
        Sentences about sheets and headings that could not be read.
    given
        The advice it was given so far.
    """

    car: str
    cars: tuple[str, ...]
    garage: Garage
    garage_car: Car
    clutch: Clutch | None
    runs: pl.DataFrame
    checks: pl.DataFrame
    setups: pl.DataFrame
    services: pl.DataFrame
    weather: pl.DataFrame
    track: pl.DataFrame
    questions: pl.DataFrame
    doubts: tuple[Doubt, ...]
    sheet_counts: pl.DataFrame
    sheet_columns: pl.DataFrame
    slip_fates: pl.DataFrame
    fit: SeasonFit
    wear: Wear | None
    next_setting: NextSetting | None
    plan: TestPlan | None
    phone_model: PhoneModel | None
    waiting: int
    problems: tuple[str, ...]
    store_version: str
    given: tuple[GivenAdvice, ...] = ()

    @property
    def worn_now_in(self) -> float | None:
        """Growth of the ring since the preload was set, as it is now [in]; None when not known."""
        return None if self.wear is None else self.wear.grown_since_set_in

    @property
    def setting_in_question(self) -> bool:
        """Whether an entry in question leaves the present setting unknown."""
        return any(doubt.adjustment != "wear" for doubt in self.doubts)

    @property
    def service_due_in(self) -> float | None:
        """Ring height at which service is due [in]; None when the garage or the checks do not say."""
        wear, clutch = self.wear, self.clutch
        if wear is None or clutch is None or clutch.service_growth_in is None:
            return None
        if wear.ring_height_in is None or wear.grown_since_service_in is None:
            return None
        return wear.ring_height_in - wear.grown_since_service_in + clutch.service_growth_in


def read_car_data(
    con: duckdb.DuckDBPyConnection, garage: Garage, car: str, *, with_fit: bool = True
) -> CarData:
    """Gather one car's rows and results from the store.

    Parameters
    ----------
    con
        A store in which ingest has run, and the modelling stage too if ``with_fit``.
    garage
        What garage.toml says.
    car
        The car's name as in the runs table.
    with_fit
        Whether to read the results.
    """
    waiting = waiting_questions(read_table(con, "questions"))
    runs = rows_of_car(con, "runs", car)
    checks = rows_of_car(con, "checks", car)
    clutch = garage.clutch_of(car)
    setups = rows_of_car(con, "setups", car)
    services = rows_of_car(con, "clutch_checks", car)
    return CarData(
        car=car,
        cars=tuple(car_names(con)),
        garage=garage,
        garage_car=garage.car(car),
        clutch=clutch,
        runs=runs,
        checks=checks,
        setups=setups,
        services=services,
        weather=read_table(con, "weather"),
        track=read_table(con, "track"),
        questions=waiting,
        doubts=doubts_in_force(runs, setups, checks, questions_of_car(con, waiting, car), labels_of(garage)),
        sheet_counts=read_table(con, "sheet_counts"),
        sheet_columns=read_table(con, "sheet_columns"),
        slip_fates=slip_fates_of(con, car),
        fit=read_season_fit(con, car) if with_fit else SeasonFit.empty(car),
        wear=read_single(con, "wear", car) if with_fit else _wear_now(con, car, runs, setups, clutch),
        next_setting=read_single(con, "next_setting", car) if with_fit else None,
        plan=read_single(con, "test_plan", car) if with_fit else None,
        phone_model=read_single(con, "phone_model", car) if with_fit else None,
        waiting=waiting.height,
        problems=tuple(read_table(con, "sheet_problems")["problem"].to_list()),
        store_version=str(STORE_VERSION),
        given=advice_of(con, car),
    )


def _wear_now(
    con: duckdb.DuckDBPyConnection, car: str, runs: pl.DataFrame, setups: pl.DataFrame, clutch: Clutch | None
) -> Wear:
    """Work out the wear from the tables of build_runs."""
    tables = ("clutch_checks", "ring_knots", "clutch_now")
    checks, knots, now = (rows_of_car(con, table, car) for table in tables)
    return wear_of(runs, checks, knots, now, clutch, present_settings(runs, setups).get("preload"))


def waiting_questions(questions: pl.DataFrame) -> pl.DataFrame:
    """Return the entries that wait for an answer, in the order of the sheets.

    A mere doubt is shown by ``questions`` but asks for none.
    """
    waiting = questions.filter(pl.col("answer").is_null() & (pl.col("severity") != "doubt"))
    return waiting.sort("file", "sheet", "row", "column")


def questions_of_car(con: duckdb.DuckDBPyConnection, questions: pl.DataFrame, car: str) -> pl.DataFrame:
    """Leave out the questions about another car's rows; weather and track are every car's."""
    others = con.sql(query("clean/rows_of_other_cars"), params={"car": car}).pl()
    return questions.join(others, on=["file", "sheet", "row"], how="anti", maintain_order="left")


def slip_fates_of(con: duckdb.DuckDBPyConnection, car: str) -> pl.DataFrame:
    """Read what became of each slip of a car: file, sheet, row, event, fate."""
    fates: pl.DataFrame = con.sql(query("clean/slip_fates")).pl()
    return fates.filter(pl.col("car") == car).drop("car")


def rows_of_car(con: duckdb.DuckDBPyConnection, table: str, car: str) -> pl.DataFrame:
    """Read a car's rows of a table that has a ``car`` column."""
    wanted = duckdb.ColumnExpression("car") == duckdb.ConstantExpression(car)
    rows: pl.DataFrame = con.table(table).filter(wanted).pl()
    return rows


def labels_of(garage: Garage) -> dict[str, str]:
    """Return every adjustment of a garage with the words for it."""
    own = (item.factor for item in garage.adjustments)
    return {factor.name: factor.label for factor in (*ADJUSTMENTS, *own)}


def car_facts(garage: Garage, car: str) -> CarFacts:
    """Say what the model has to know of a car: clutch geometry when all of it is given, extras."""
    extras = tuple(item.factor for item in garage.adjustments)
    return CarFacts(name=car, clutch=_clutch_facts(garage.clutch_of(car)), extras=extras)


def _clutch_facts(clutch: Clutch | None) -> ClutchFacts | None:
    if clutch is None:
        return None
    per_turn, rate = clutch.load_per_turn_lb, clutch.spring_rate_lb_per_in
    base, levers = clutch.base_load_lb, clutch.levers
    mass, radius, ratio = clutch.lever_mass_g, clutch.lever_radius_in, clutch.lever_ratio
    screws, springs = clutch.screws, clutch.spring_count
    if screws is None or springs is None or base is None or per_turn is None:
        return None
    if levers is None or mass is None or radius is None or ratio is None:
        return None
    return ClutchFacts(
        base_load_lb=base,
        lb_per_turn=per_turn * screws,
        spring_rate_lb_per_in=(rate or 0.0) * springs,
        levers=levers,
        lever_mass_g=mass,
        lever_radius_in=radius,
        lever_ratio=ratio,
        wear_sign=-1.0 if clutch.growth_effect == "less load" else 1.0,
    )
