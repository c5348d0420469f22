"""The commands: parse, call one stage, print."""

from __future__ import annotations

import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Annotated

import typer

from pipeline import stages
from pipeline.errors import RequestError, SlipledgerError
from pipeline.files.saves import saves
from pipeline.options import (
    AirTempOpt,
    Asked,
    CarOpt,
    FormatOpt,
    FreshOpt,
    HumidityOpt,
    JsonOpt,
    LogbookArg,
    NoOutOpt,
    OutOpt,
    PressureOpt,
    QuietOpt,
    StoreOpt,
    StrictOpt,
    TrackTempOpt,
    VenueOpt,
    clear_bar,
    finish,
    on_logbook,
    progress_bar,
    say,
)
from pipeline.workspace import ForecastAsked, Outcome

app = typer.Typer(
    name="slipledger",
    help=(
        "Which clutch adjustment moved the early-track times, what to set next, how sure that is, "
        "and what to test: from handwritten timeslips, weather and setup notes."
    ),
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)


@app.callback()
def _shared(
    _no_color: Annotated[bool, typer.Option("--no-color", help="No color on the terminal.")] = False,
    _debug: Annotated[bool, typer.Option("--debug", help="Show a traceback when something fails.")] = False,
) -> None:
    """Hold the options that may stand anywhere, so that --help tells of them."""


@app.command(epilog="Example: slipledger new my-season")
def new(
    logbook: LogbookArg,
    demo: Annotated[bool, typer.Option("--demo", help="Copy the invented demo season instead.")] = False,
    as_json: JsonOpt = False,
    quiet: QuietOpt = False,
) -> None:
    """Make a logbook folder: blank sheets, a workbook, garage.toml and a trackside sheet to print."""
    finish(stages.new(logbook, demo=demo), as_json=as_json, quiet=quiet, strict=False)


@on_logbook(
    app,
    "ingest",
    out=NoOutOpt,
    car=Annotated[str | None, typer.Option("--car", help="Count this car's slips on a line too.")],
)
def ingest(asked: Asked) -> Outcome:
    """Read every sheet; print how many rows were read, kept, questioned and rejected."""
    return stages.ingest(asked.space, car=asked.car)


@on_logbook(
    app,
    "questions",
    out=Annotated[
        Path | None,
        typer.Option(
            "--out", help="Folder for the list as text too; questions.csv always stands in LOGBOOK."
        ),
    ],
    car=Annotated[
        str | None, typer.Option("--car", help="List this car's only; questions.csv holds every car's.")
    ],
)
def questions(asked: Asked) -> Outcome:
    """List every doubtful entry with a suggested reading, and write questions.csv to answer in."""
    return stages.questions(asked.space, car=asked.car, list_in=asked.out)


@on_logbook(app, "attached")
def attached(
    asked: Asked,
    event: Annotated[str | None, typer.Option("--event", help="Show this event run by run.")] = None,
) -> Outcome:
    """Say which setup, weather, track reading and check each run used, and what no run used."""
    return stages.attached(asked.space, event=event, car=asked.car)


@on_logbook(app, "fit", out=NoOutOpt)
def fit(asked: Asked) -> Outcome:
    """Work out which adjustment moved the early-track times, and print it; no page is written."""
    return stages.fit(asked.space, car=asked.car)


@on_logbook(app, "nightly")
def nightly(
    asked: Asked,
    event: Annotated[
        str | None, typer.Option("--event", help="Its name, a part of it, or its day [the latest].")
    ] = None,
    formats: FormatOpt = None,
    watch: Annotated[
        bool, typer.Option("--watch", help="Renew the report whenever a sheet is saved, until Ctrl-C.")
    ] = False,
) -> Outcome | None:
    """Write the report of one event: how the car ran against expectation, run by run."""

    def make() -> Outcome:
        return stages.nightly(asked.space, event=event, car=asked.car, formats=tuple(formats or ()))

    if not watch:
        return make()
    if asked.as_json or asked.strict:
        other = "--json" if asked.as_json else "--strict"
        raise RequestError(f"--watch goes on until Ctrl-C, and {other} wants an end.", "Leave one out.")
    _watch(asked.space.logbook, make, quiet=asked.quiet)
    return None


def _watch(root: Path, make: Callable[[], Outcome], *, quiet: bool) -> None:
    """Make a page anew whenever a sheet is saved, a line each time; say what is wrong, and watch on."""
    with suppress(KeyboardInterrupt):
        for _ in saves(root):
            try:
                page = make().files[0]
            except SlipledgerError as wrong:
                if not root.is_dir():
                    raise
                say(str(wrong))
                continue
            clear_bar()
            if not quiet:
                typer.echo(f"{time.strftime('%H:%M:%S')} renewed {page}")


@on_logbook(app, "season")
def season(
    asked: Asked,
    formats: FormatOpt = None,
    challenger: Annotated[
        bool, typer.Option("--challenger", help="Hold the model to a learner that knows no clutches.")
    ] = False,
) -> Outcome:
    """Write the season review: what moved the times, what to set next, what to test."""
    return stages.season(asked.space, car=asked.car, formats=tuple(formats or ()), challenger=challenger)


@on_logbook(app, "evidence", "sample_timeslips/logbook preload")
def evidence(
    asked: Asked,
    adjustment: Annotated[str, typer.Argument(metavar="ADJUSTMENT", help="Such as preload or launch_rpm.")],
    formats: FormatOpt = None,
) -> Outcome:
    """Write the page of one adjustment: whether it did anything, run by run."""
    return stages.evidence(asked.space, adjustment, car=asked.car, formats=tuple(formats or ()))


@on_logbook(app, "next", "sample_timeslips/logbook --track-temp 95F")
def next_setting(
    asked: Asked,
    track_temp: TrackTempOpt = None,
    air_temp: AirTempOpt = None,
    pressure: PressureOpt = None,
    humidity: HumidityOpt = None,
    venue: VenueOpt = None,
    quick_only: Annotated[
        bool, typer.Option("--quick", help="Only what can be changed between rounds.")
    ] = False,
    risk: Annotated[
        str, typer.Option("--risk", help="cautious, or even for the least time expected.")
    ] = "cautious",
) -> Outcome:
    """Say what to set for the weather to come: stay or change, how sure, and what limits it."""
    air = ForecastAsked(venue, track_temp, air_temp, pressure, humidity)
    return stages.next_setting(asked.space, air, quick_only=quick_only, car=asked.car, risk=risk)


@on_logbook(app, "compare", 'my-season "preload 4, rpm 6800" "preload 4.5"', out=NoOutOpt)
def compare(
    asked: Asked,
    first: Annotated[str, typer.Argument(metavar="A", help='A setting, such as "preload 4.5, rpm 6800".')],
    second: Annotated[
        str, typer.Argument(metavar="B", help="Another; what either leaves out is the setting in force.")
    ],
    track_temp: TrackTempOpt = None,
    air_temp: AirTempOpt = None,
    pressure: PressureOpt = None,
    humidity: HumidityOpt = None,
    venue: VenueOpt = None,
) -> Outcome:
    """Set two settings side by side: the time expected of each, the difference, how sure it is."""
    air = ForecastAsked(venue, track_temp, air_temp, pressure, humidity)
    return stages.compare(asked.space, first, second, air, car=asked.car)


@on_logbook(app, "plan", "sample_timeslips/logbook --runs 8")
def plan(
    asked: Asked,
    runs: Annotated[str, typer.Option("--runs", help="How many test runs you can make.")] = "8",
    wanted: Annotated[
        list[str] | None,
        typer.Option("--adjustment", help="What to try [all that may be changed]; may be repeated."),
    ] = None,
    purpose: Annotated[
        str, typer.Option("--for", help="60ft: the best next setting; learning: to know the effects.")
    ] = "60ft",
) -> Outcome:
    """List the test runs worth making, in order, what they should bring and how much surer they make you."""
    chosen = tuple(wanted or ())
    return stages.plan(asked.space, n_runs=runs, wanted=chosen, purpose=purpose, car=asked.car)


@on_logbook(app, "clutch", "sample_timeslips/logbook --turns 3 --rpm 6200")
def clutch(
    asked: Asked,
    turns: Annotated[
        str | None, typer.Option("--turns", help='One number, or one for each screw: "2 2 2.5 2".')
    ] = None,
    counterweight: Annotated[
        str | None, typer.Option("--counterweight", help='Per lever: 6g, or "2 steel nuts".')
    ] = None,
    rpm: Annotated[str | None, typer.Option("--rpm", help="Launch rpm.")] = None,
) -> Outcome:
    """Write the bench card: plate load and torque capacity by rpm, wear, shims, checks."""
    return stages.clutch(asked.space, turns=turns, counterweight=counterweight, rpm=rpm, car=asked.car)


@on_logbook(app, "handout")
def handout(asked: Asked) -> Outcome:
    """Write one sheet to print: the setting to run and why, the limits, service due, the next test."""
    return stages.handout(asked.space, car=asked.car)


@app.command(epilog="Example: slipledger fleet customers/")
def fleet(
    source: Annotated[
        str, typer.Argument(metavar="SOURCE", help="A folder of logbooks, or one CSV or Parquet table.")
    ],
    engine: Annotated[
        str | None,
        typer.Option("--engine", help="spark: a cluster sums up SOURCE, a place of Parquet files of runs."),
    ] = None,
    master: Annotated[
        str | None, typer.Option("--master", help="The cluster's address [as Spark is set up].")
    ] = None,
    store: StoreOpt = None,
    out: OutOpt = None,
    car: CarOpt = None,
    share_out: Annotated[
        Path | None, typer.Option("--share-out", help="Write sums and counts only, to pool with others.")
    ] = None,
    share_in: Annotated[
        list[Path] | None, typer.Option("--share-in", help="Pool another shop's file in (may be repeated).")
    ] = None,
    as_json: JsonOpt = False,
    quiet: QuietOpt = False,
    fresh: FreshOpt = False,
    strict: StrictOpt = False,
) -> None:
    """Judge many cars with one kind of clutch together, so that a new car learns from the rest."""
    outcome = stages.fleet(
        source,
        engine=engine,
        master=master,
        store=store,
        out=out,
        car=car,
        share_out=share_out,
        share_in=tuple(share_in or ()),
        progress=progress_bar(quiet or as_json),
        fresh=fresh,
    )
    finish(outcome, as_json=as_json, quiet=quiet, strict=strict)


@on_logbook(
    app,
    "export",
    "sample_timeslips/logbook --as parquet",
    car=Annotated[str | None, typer.Option("--car", help="Only this car's rows, in a folder of their own.")],
)
def export(
    asked: Asked, kind: Annotated[str, typer.Option("--as", help="csv, parquet or workbook.")] = "csv"
) -> Outcome:
    """Write everything that was read and worked out as CSV, Parquet or one workbook."""
    return stages.export(asked.space, kind, car=asked.car)
