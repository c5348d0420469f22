"""What the commands share: their options, and how an outcome is told at a terminal."""

from __future__ import annotations

import inspect
import json
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any

import typer

from pipeline.files.names import printable
from pipeline.workspace import Outcome, Workspace

DONE, NEEDS_ANSWER, WRONG_REQUEST = 0, 1, 2

WHAT_LETTERS, BAR_LETTERS = 34, 24  # of the progress bar's line

LogbookArg = Annotated[
    Path, typer.Argument(metavar="LOGBOOK", help="The logbook folder.", show_default=False)
]

StoreOpt = Annotated[Path | None, typer.Option("--store", help="Store file [LOGBOOK/slipledger.duckdb].")]

OutOpt = Annotated[Path | None, typer.Option("--out", help="Folder for reports [LOGBOOK/reports].")]

NoOutOpt = Annotated[Path | None, typer.Option("--out", help="Taken, and not used: no page is written.")]

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


@dataclass(frozen=True, slots=True)
class Asked:
    """What every command on a logbook is told: its places, which car, and how to tell the outcome."""

    space: Workspace
    out: Path | None
    car: str | None
    as_json: bool
    quiet: bool
    strict: bool


Command = Callable[..., Outcome | None]


def on_logbook(
    app: typer.Typer, name: str, example: str = "sample_timeslips/logbook", **worded: Any
) -> Callable[[Command], Command]:
    """Make a command of a function: it takes LOGBOOK, options of its own, then those that all take.

    Parameters
    ----------
    app
        Which gets the command.
    name, example
        As typed; what may follow it.
    worded
        Shared options that mean something else to it.

    Returns
    -------
    decorator
        Of a function from :class:`Asked` and its own options to what is to be told; None when all is told.
    """

    def take(
        logbook: LogbookArg,
        store: StoreOpt = None,
        out: OutOpt = None,
        car: CarOpt = None,
        as_json: JsonOpt = False,
        quiet: QuietOpt = False,
        fresh: FreshOpt = False,
        strict: StrictOpt = False,
    ) -> Asked:
        bar = progress_bar(quiet or as_json)
        space = Workspace.of(logbook, store=store, out=out, progress=bar, fresh=fresh)
        return Asked(space, out, car, as_json=as_json, quiet=quiet, strict=strict)

    def register(answer: Command) -> Command:
        first, *shared = parameters_of(take)
        own = parameters_of(answer)[1:]

        def command(**told: Any) -> None:
            asked = take(**{option.name: told.pop(option.name) for option in (first, *shared)})
            if (outcome := answer(asked, **told)) is not None:
                finish(outcome, as_json=asked.as_json, quiet=asked.quiet, strict=asked.strict)

        taken = [option.replace(annotation=worded.get(option.name, option.annotation)) for option in shared]
        command.__signature__ = inspect.Signature([first, *own, *taken])  # type: ignore[attr-defined]
        command.__annotations__ = {option.name: option.annotation for option in (first, *own, *taken)}
        app.command(name, help=answer.__doc__, epilog=f"Example: slipledger {name} {example}")(command)
        return answer

    return register


def parameters_of(function: Callable[..., object]) -> list[inspect.Parameter]:
    """List what a function takes, each by name and with its annotation resolved."""
    return [
        parameter.replace(kind=inspect.Parameter.KEYWORD_ONLY)
        for parameter in inspect.signature(function, eval_str=True).parameters.values()
    ]


def finish(outcome: Outcome, *, as_json: bool, quiet: bool, strict: bool) -> None:
    """Print an outcome the way it was asked for and end with its exit status."""
    clear_bar()
    if as_json:
        typer.echo(json.dumps(outcome.document, indent=2, ensure_ascii=False))
    elif not quiet:
        typer.echo(printable(outcome.text, keep="\n\t"))
    if outcome.left_out or (strict and outcome.needs_answer):
        raise typer.Exit(NEEDS_ANSWER)


def progress_bar(quiet: bool) -> Callable[[str, float], None] | None:
    """Make a bar for a person at a terminal; nothing when piped or asked to be quiet."""
    if quiet or not sys.stderr.isatty():
        return None

    def show(what: str, share: float) -> None:
        filled = round(BAR_LETTERS * min(max(share, 0.0), 1.0))
        bar = "=" * filled + " " * (BAR_LETTERS - filled)
        sys.stderr.write(f"\r  {what[:WHAT_LETTERS]:<{WHAT_LETTERS}} [{bar}]")
        sys.stderr.flush()

    return show


def clear_bar() -> None:
    """Take the bar away before anything else is said at a terminal."""
    if sys.stderr.isatty():
        sys.stderr.write("\r" + " " * (WHAT_LETTERS + BAR_LETTERS + 5) + "\r")
        sys.stderr.flush()


def say(sentence: str) -> None:
    """Tell a person one sentence, aside from what was asked for."""
    clear_bar()
    sys.stderr.write(f"slipledger: {printable(sentence)}\n")
