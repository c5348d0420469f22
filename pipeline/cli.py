"""The command line: parse, call one stage, print. Errors become one line and exit status 2."""

from __future__ import annotations

import gc
import json
import os
import sys
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Annotated, Any

import typer

from pipeline import stages
from pipeline.errors import RequestError, SlipledgerError
from pipeline.files.names import printable
from pipeline.files.saves import saves
from pipeline.pandas_aside import pandas_aside
from pipeline.workspace import ForecastAsked, Outcome, Workspace

DONE, NEEDS_ANSWER, WRONG_REQUEST = 0, 1, 2
WHAT_LETTERS, BAR_LETTERS = 34, 24  # of the progress bar's line

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

LogbookArg = Annotated[
    Path, typer.Argument(metavar="LOGBOOK", help="The logbook folder.", show_default=False)
]
StoreOpt = Annotated[Path | None, typer.Option("--store", help="Store file [LOGBOOK/slipledger.duckdb].")]
OutOpt = Annotated[Path | None, typer.Option("--out", help="Folder for reports [LOGBOOK/reports].")]
NoOutOpt = Annotated[
    Path | None, typer.Option("--out", help="Taken, and not used: this writes to the store alone.")
]
CarOpt = Annotated[str | None, typer.Option("--car", help="Which car, when the logbook has several.")]
JsonOpt = Annotated[bool, typer.Option("--json", help="Print the result as JSON and nothing else.")]
QuietOpt = Annotated[bool, typer.Option("--quiet", "-q", help="Print only what went wrong.")]
StrictOpt = Annotated[bool, typer.Option("--strict", help="Exit 1 when entries still need an answer.")]
FreshOpt = Annotated[
    bool, typer.Option("--fresh", help="Do everything anew, also what has not changed since.")
]
TrackTempOpt = Annotated[str | None, typer.Option("--track-temp", help="Such as 95F or 35C.")]
AirTempOpt = Annotated[str | None, typer.Option("--air-temp", help="Such as 84F.")]
PressureOpt = Annotated[str | None, typer.Option("--pressure", help='Such as "29.1 inHg" or 985hPa.')]
HumidityOpt = Annotated[str | None, typer.Option("--humidity", help="Such as 55%.")]
VenueOpt = Annotated[str | None, typer.Option("--venue", help="Where [the last event's strip].")]
FormatOpt = Annotated[
    list[str] | None,
    typer.Option("--format", help="Also write every chart as png, svg or pdf (may be repeated)."),
]


# Taken anywhere on the line. Nothing we print is colored, so the first only has to be accepted.
EVERYWHERE = ("--no-color", "--debug")
GARBAGE_OBJECTS = 1_000_000
"""New objects between looks for garbage in circles: a command makes a third of that, hardly any of it."""
FRAME_SLOTS = (1 << 16) + 1
"""Of 8 bytes. Just over a power of two: the piece is twice that, and half a megabyte is left to others."""


@app.callback()
def _shared(
    _no_color: Annotated[bool, typer.Option("--no-color", help="No color on the terminal.")] = False,
    _debug: Annotated[bool, typer.Option("--debug", help="Show a traceback when something fails.")] = False,
) -> None:
    """Hold the options that may stand anywhere, so that --help tells of them."""


def _finish(outcome: Outcome, *, as_json: bool, quiet: bool, strict: bool) -> None:
    """Print an outcome the way it was asked for and end with its exit status."""
    _clear_bar()
    if as_json:
        typer.echo(json.dumps(outcome.document, indent=2, ensure_ascii=False))
    elif not quiet:
        typer.echo(printable(outcome.text, keep="\n\t"))
    if outcome.left_out or (strict and outcome.needs_answer):
        raise typer.Exit(NEEDS_ANSWER)


def _workspace(logbook: Path, store: Path | None, out: Path | None, *, quiet: bool, fresh: bool) -> Workspace:
    return Workspace.of(logbook, store=store, out=out, progress=_progress(quiet), fresh=fresh)


def _progress(quiet: bool) -> Callable[[str, float], None] | None:
    """Make a bar for a person at a terminal; nothing when piped or asked to be quiet."""
    if quiet or not sys.stderr.isatty():
        return None

    def show(what: str, share: float) -> None:
        filled = round(BAR_LETTERS * min(max(share, 0.0), 1.0))
        bar = "=" * filled + " " * (BAR_LETTERS - filled)
        sys.stderr.write(f"\r  {what[:WHAT_LETTERS]:<{WHAT_LETTERS}} [{bar}]")
        sys.stderr.flush()

    return show


def _clear_bar() -> None:
    """Take the bar away before anything else is said at a terminal."""
    if sys.stderr.isatty():
        sys.stderr.write("\r" + " " * (WHAT_LETTERS + BAR_LETTERS + 5) + "\r")
        sys.stderr.flush()


@app.command(epilog="Example: slipledger new my-season")
def new(
    logbook: LogbookArg,
    demo: Annotated[bool, typer.Option("--demo", help="Copy the invented demo season instead.")] = False,
    as_json: JsonOpt = False,
    quiet: QuietOpt = False,
) -> None:
    """Make a logbook folder: blank sheets, a workbook, garage.toml and a trackside sheet to print."""
    _finish(stages.new(logbook, demo=demo), as_json=as_json, quiet=quiet, strict=False)


@app.command(epilog="Example: slipledger ingest sample_timeslips/logbook")
def ingest(
    logbook: LogbookArg,
    store: StoreOpt = None,
    _out: NoOutOpt = None,
    car: Annotated[str | None, typer.Option("--car", help="Count this car's slips on a line too.")] = None,
    as_json: JsonOpt = False,
    quiet: QuietOpt = False,
    fresh: FreshOpt = False,
    strict: StrictOpt = False,
) -> None:
    """Read every sheet; print how many rows were read, kept, questioned and rejected."""
    space = _workspace(logbook, store, None, quiet=quiet or as_json, fresh=fresh)
    _finish(stages.ingest(space, car=car), as_json=as_json, quiet=quiet, strict=strict)


@app.command(epilog="Example: slipledger questions sample_timeslips/logbook")
def questions(
    logbook: LogbookArg,
    store: StoreOpt = None,
    out: Annotated[
        Path | None,
        typer.Option(
            "--out", help="Folder for the list as text too; questions.csv always stands in LOGBOOK."
        ),
    ] = None,
    car: Annotated[
        str | None, typer.Option("--car", help="List this car's only; questions.csv holds every car's.")
    ] = None,
    as_json: JsonOpt = False,
    quiet: QuietOpt = False,
    fresh: FreshOpt = False,
    strict: StrictOpt = False,
) -> None:
    """List every doubtful entry with a suggested reading, and write questions.csv to answer in."""
    space = _workspace(logbook, store, out, quiet=quiet or as_json, fresh=fresh)
    _finish(stages.questions(space, car=car, list_in=out), as_json=as_json, quiet=quiet, strict=strict)


@app.command(epilog="Example: slipledger attached sample_timeslips/logbook")
def attached(
    logbook: LogbookArg,
    event: Annotated[str | None, typer.Option("--event", help="Show this event run by run.")] = None,
    store: StoreOpt = None,
    out: OutOpt = None,
    car: CarOpt = None,
    as_json: JsonOpt = False,
    quiet: QuietOpt = False,
    fresh: FreshOpt = False,
    strict: StrictOpt = False,
) -> None:
    """Say which setup, weather, track reading and check each run used, and what no run used."""
    space = _workspace(logbook, store, out, quiet=quiet or as_json, fresh=fresh)
    outcome = stages.attached(space, event=event, car=car)
    _finish(outcome, as_json=as_json, quiet=quiet, strict=strict)


@app.command(epilog="Example: slipledger fit sample_timeslips/logbook")
def fit(
    logbook: LogbookArg,
    store: StoreOpt = None,
    _out: NoOutOpt = None,
    car: CarOpt = None,
    as_json: JsonOpt = False,
    quiet: QuietOpt = False,
    fresh: FreshOpt = False,
    strict: StrictOpt = False,
) -> None:
    """Work out which adjustment moved the early-track times, and print it; no page is written."""
    space = _workspace(logbook, store, None, quiet=quiet or as_json, fresh=fresh)
    _finish(stages.fit(space, car=car), as_json=as_json, quiet=quiet, strict=strict)


@app.command(epilog="Example: slipledger nightly sample_timeslips/logbook")
def nightly(
    logbook: LogbookArg,
    event: Annotated[
        str | None, typer.Option("--event", help="Its name, a part of it, or its day [the latest].")
    ] = None,
    store: StoreOpt = None,
    out: OutOpt = None,
    car: CarOpt = None,
    formats: FormatOpt = None,
    as_json: JsonOpt = False,
    quiet: QuietOpt = False,
    fresh: FreshOpt = False,
    strict: StrictOpt = False,
    watch: Annotated[
        bool, typer.Option("--watch", help="Renew the report whenever a sheet is saved, until Ctrl-C.")
    ] = False,
) -> None:
    """Write the report of one event: how the car ran against expectation, run by run."""
    space = _workspace(logbook, store, out, quiet=quiet or as_json, fresh=fresh)

    def make() -> Outcome:
        return stages.nightly(space, event=event, car=car, formats=tuple(formats or ()))

    if watch:
        if as_json or strict:
            other = "--json" if as_json else "--strict"
            raise RequestError(f"--watch goes on until Ctrl-C, and {other} wants an end.", "Leave one out.")
        _watch(space.logbook, make, quiet=quiet)
    else:
        _finish(make(), as_json=as_json, quiet=quiet, strict=strict)


def _watch(root: Path, make: Callable[[], Outcome], *, quiet: bool) -> None:
    """Make a page anew whenever a sheet is saved, a line each time; say what is wrong, and watch on."""
    with suppress(KeyboardInterrupt):
        for _ in saves(root):
            try:
                page = make().files[0]
            except SlipledgerError as wrong:
                if not root.is_dir():
                    raise
                _say(str(wrong))
                continue
            _clear_bar()
            if not quiet:
                typer.echo(f"{time.strftime('%H:%M:%S')} renewed {page}")


@app.command(epilog="Example: slipledger season sample_timeslips/logbook")
def season(
    logbook: LogbookArg,
    store: StoreOpt = None,
    out: OutOpt = None,
    car: CarOpt = None,
    formats: FormatOpt = None,
    as_json: JsonOpt = False,
    quiet: QuietOpt = False,
    fresh: FreshOpt = False,
    strict: StrictOpt = False,
    challenger: Annotated[
        bool, typer.Option("--challenger", help="Hold the model to a learner that knows no clutches.")
    ] = False,
) -> None:
    """Write the season review: what moved the times, what to set next, what to test."""
    space = _workspace(logbook, store, out, quiet=quiet or as_json, fresh=fresh)
    outcome = stages.season(space, car=car, formats=tuple(formats or ()), challenger=challenger)
    _finish(outcome, as_json=as_json, quiet=quiet, strict=strict)


@app.command(epilog="Example: slipledger evidence sample_timeslips/logbook preload")
def evidence(
    logbook: LogbookArg,
    adjustment: Annotated[str, typer.Argument(metavar="ADJUSTMENT", help="Such as preload or launch_rpm.")],
    store: StoreOpt = None,
    out: OutOpt = None,
    car: CarOpt = None,
    formats: FormatOpt = None,
    as_json: JsonOpt = False,
    quiet: QuietOpt = False,
    fresh: FreshOpt = False,
    strict: StrictOpt = False,
) -> None:
    """Write the page of one adjustment: whether it did anything, run by run."""
    space = _workspace(logbook, store, out, quiet=quiet or as_json, fresh=fresh)
    outcome = stages.evidence(space, adjustment, car=car, formats=tuple(formats or ()))
    _finish(outcome, as_json=as_json, quiet=quiet, strict=strict)


@app.command("next", epilog="Example: slipledger next sample_timeslips/logbook --track-temp 95F")
def next_setting(
    logbook: LogbookArg,
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
    store: StoreOpt = None,
    out: OutOpt = None,
    car: CarOpt = None,
    as_json: JsonOpt = False,
    quiet: QuietOpt = False,
    fresh: FreshOpt = False,
    strict: StrictOpt = False,
) -> None:
    """Say what to set for the weather to come: stay or change, how sure, and what limits it."""
    space = _workspace(logbook, store, out, quiet=quiet or as_json, fresh=fresh)
    asked = ForecastAsked(
        venue=venue, track_temp=track_temp, air_temp=air_temp, pressure=pressure, humidity=humidity
    )
    outcome = stages.next_setting(space, asked, quick_only=quick_only, car=car, risk=risk)
    _finish(outcome, as_json=as_json, quiet=quiet, strict=strict)


@app.command(epilog='Example: slipledger compare my-season "preload 4, rpm 6800" "preload 4.5"')
def compare(
    logbook: LogbookArg,
    first: Annotated[str, typer.Argument(metavar="A", help='A setting, such as "preload 4.5, rpm 6800".')],
    second: Annotated[
        str, typer.Argument(metavar="B", help="Another; what either leaves out is the setting in force.")
    ],
    track_temp: TrackTempOpt = None,
    air_temp: AirTempOpt = None,
    pressure: PressureOpt = None,
    humidity: HumidityOpt = None,
    venue: VenueOpt = None,
    store: StoreOpt = None,
    _out: Annotated[
        Path | None, typer.Option("--out", help="Taken, and not used: nothing is written.")
    ] = None,
    car: CarOpt = None,
    as_json: JsonOpt = False,
    quiet: QuietOpt = False,
    fresh: FreshOpt = False,
    strict: StrictOpt = False,
) -> None:
    """Set two settings side by side: the time expected of each, the difference, how sure it is."""
    space = _workspace(logbook, store, None, quiet=quiet or as_json, fresh=fresh)
    asked = ForecastAsked(
        venue=venue, track_temp=track_temp, air_temp=air_temp, pressure=pressure, humidity=humidity
    )
    outcome = stages.compare(space, first, second, asked, car=car)
    _finish(outcome, as_json=as_json, quiet=quiet, strict=strict)


@app.command(epilog="Example: slipledger plan sample_timeslips/logbook --runs 8")
def plan(
    logbook: LogbookArg,
    runs: Annotated[str, typer.Option("--runs", help="How many test runs you can make.")] = "8",
    wanted: Annotated[
        list[str] | None,
        typer.Option("--adjustment", help="What to try [all that may be changed]; may be repeated."),
    ] = None,
    purpose: Annotated[
        str, typer.Option("--for", help="60ft: the best next setting; learning: to know the effects.")
    ] = "60ft",
    store: StoreOpt = None,
    out: OutOpt = None,
    car: CarOpt = None,
    as_json: JsonOpt = False,
    quiet: QuietOpt = False,
    fresh: FreshOpt = False,
    strict: StrictOpt = False,
) -> None:
    """List the test runs worth making, in order, what they should bring and how much surer they make you."""
    space = _workspace(logbook, store, out, quiet=quiet or as_json, fresh=fresh)
    _finish(
        stages.plan(space, n_runs=runs, wanted=tuple(wanted or ()), purpose=purpose, car=car),
        as_json=as_json,
        quiet=quiet,
        strict=strict,
    )


@app.command(epilog="Example: slipledger clutch sample_timeslips/logbook --turns 3 --rpm 6200")
def clutch(
    logbook: LogbookArg,
    turns: Annotated[
        str | None, typer.Option("--turns", help='One number, or one for each screw: "2 2 2.5 2".')
    ] = None,
    counterweight: Annotated[
        str | None, typer.Option("--counterweight", help='Per lever: 6g, or "2 steel nuts".')
    ] = None,
    rpm: Annotated[str | None, typer.Option("--rpm", help="Launch rpm.")] = None,
    store: StoreOpt = None,
    out: OutOpt = None,
    car: CarOpt = None,
    as_json: JsonOpt = False,
    quiet: QuietOpt = False,
    fresh: FreshOpt = False,
    strict: StrictOpt = False,
) -> None:
    """Write the bench card: plate load and torque capacity by rpm, wear, shims, checks."""
    space = _workspace(logbook, store, out, quiet=quiet or as_json, fresh=fresh)
    outcome = stages.clutch(space, turns=turns, counterweight=counterweight, rpm=rpm, car=car)
    _finish(outcome, as_json=as_json, quiet=quiet, strict=strict)


@app.command(epilog="Example: slipledger handout sample_timeslips/logbook")
def handout(
    logbook: LogbookArg,
    store: StoreOpt = None,
    out: OutOpt = None,
    car: CarOpt = None,
    as_json: JsonOpt = False,
    quiet: QuietOpt = False,
    fresh: FreshOpt = False,
    strict: StrictOpt = False,
) -> None:
    """Write one sheet to print: the setting to run and why, the limits, service due, the next test."""
    space = _workspace(logbook, store, out, quiet=quiet or as_json, fresh=fresh)
    _finish(stages.handout(space, car=car), as_json=as_json, quiet=quiet, strict=strict)


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
        progress=_progress(quiet or as_json),
        fresh=fresh,
    )
    _finish(outcome, as_json=as_json, quiet=quiet, strict=strict)


@app.command(epilog="Example: slipledger export sample_timeslips/logbook --as parquet")
def export(
    logbook: LogbookArg,
    kind: Annotated[str, typer.Option("--as", help="csv, parquet or workbook.")] = "csv",
    store: StoreOpt = None,
    out: OutOpt = None,
    car: Annotated[
        str | None, typer.Option("--car", help="Only this car's rows, in a folder of their own.")
    ] = None,
    as_json: JsonOpt = False,
    quiet: QuietOpt = False,
    fresh: FreshOpt = False,
    strict: StrictOpt = False,
) -> None:
    """Write everything that was read and worked out as CSV, Parquet or one workbook."""
    space = _workspace(logbook, store, out, quiet=quiet or as_json, fresh=fresh)
    _finish(stages.export(space, kind, car=car), as_json=as_json, quiet=quiet, strict=strict)


def main(arguments: list[str] | None = None) -> None:
    """Run the command line; every failure ends in one sentence and exit status 2.

    Parameters
    ----------
    arguments
        Words after the program's name; ``sys.argv`` when not given.
    """
    typed = sys.argv[1:] if arguments is None else arguments
    # Many small matrices and frames: a second thread only waits, and burns twice the processor's time.
    for threads in ("OMP_NUM_THREADS", "POLARS_MAX_THREADS"):
        os.environ.setdefault(threads, "1")
    gc.set_threshold(GARBAGE_OBJECTS)
    debug = "--debug" in typed
    words = [word for word in typed if word not in EVERYWHERE] or ["--help"]
    try:
        with pandas_aside():
            status: Any = app(words, prog_name="slipledger", standalone_mode=False)
    except typer.Exit as leave:
        status = leave.exit_code
    except typer.Abort:
        _say("Stopped; the store holds what was finished before.")
        status = WRONG_REQUEST
    except typer.TyperException as wrong:
        _say(f"{wrong.format_message().rstrip('.')}. See 'slipledger --help' for what can be asked.")
        status = WRONG_REQUEST
    except SlipledgerError as known:
        if debug:
            raise
        _say(str(known))
        status = WRONG_REQUEST
    except KeyboardInterrupt:
        _say("Stopped by the keyboard; the store holds what was finished before.")
        status = WRONG_REQUEST
    except BaseException as unforeseen:  # a panic inside a library is none of Exception
        if debug or isinstance(unforeseen, SystemExit):
            raise
        _say(stages.unforeseen_sentence(unforeseen))
        status = WRONG_REQUEST
    sys.exit(status if isinstance(status, int) else DONE)


def run() -> None:
    """Run the command line as the process it is, and end that at once.

    To take a thousand modules apart again is a tenth of a command's work. Nothing waits for it: files are
    written whole, and the store is closed.
    """
    try:
        _with_room(main)
    except SystemExit as end:
        with suppress(OSError):  # whoever read our output is gone: Python's own end sees to that
            sys.stdout.flush()
            sys.stderr.flush()
            os._exit(int(end.code or DONE))
        raise


def _with_room(work: Callable[[], None]) -> None:
    """Do work with room for the frames of all calls below.

    Python holds frames in pieces of 16 kB; a loop whose calls cross the end of one asks the system for the
    next and gives it back, thousands of times a command. A frame that needs more gets a piece so large.
    """
    work()


_with_room.__code__ = _with_room.__code__.replace(co_stacksize=FRAME_SLOTS)


def _say(sentence: str) -> None:
    _clear_bar()
    sys.stderr.write(f"slipledger: {printable(sentence)}\n")


if __name__ == "__main__":
    run()
