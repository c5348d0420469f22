"""The command line as a process: errors become one line and exit status 2."""

from __future__ import annotations

import gc
import os
import sys
from contextlib import suppress
from typing import Any

import typer

from pipeline import stages
from pipeline.commands import app
from pipeline.errors import SlipledgerError
from pipeline.libraries_aside import libraries_aside
from pipeline.options import (
    DONE,
    WRONG_REQUEST,
    say,
)

# Taken anywhere on the line. Nothing we print is colored, so the first only has to be accepted.
EVERYWHERE = ("--no-color", "--debug")

LIBRARIES = {"OMP_NUM_THREADS": "1", "POLARS_MAX_THREADS": "1", "PYDANTIC_DISABLE_PLUGINS": "__all__"}
"""Our matrices and frames are many and small: a second thread only waits, and burns twice the processor's
time. We use no plugins; to find that there are none, pydantic reads the papers of every package installed."""
GARBAGE_OBJECTS = 1_000_000
"""New objects between looks for garbage in circles: a command makes a third of that, hardly any of it."""


def main(arguments: list[str] | None = None) -> None:
    """Run the command line; every failure ends in one sentence and exit status 2.

    Parameters
    ----------
    arguments
        Words after the program's name; ``sys.argv`` when not given.
    """
    typed = sys.argv[1:] if arguments is None else arguments
    for name, value in LIBRARIES.items():
        os.environ.setdefault(name, value)
    gc.set_threshold(GARBAGE_OBJECTS)
    debug = "--debug" in typed
    words = [word for word in typed if word not in EVERYWHERE] or ["--help"]
    try:
        with libraries_aside():
            status: Any = app(words, prog_name="slipledger", standalone_mode=False)
    except typer.Exit as leave:
        status = leave.exit_code
    except typer.Abort:
        say("Stopped; the store holds what was finished before.")
        status = WRONG_REQUEST
    except typer.TyperException as wrong:
        say(f"{wrong.format_message().rstrip('.')}. See 'slipledger --help' for what can be asked.")
        status = WRONG_REQUEST
    except SlipledgerError as known:
        if debug:
            raise
        say(str(known))
        status = WRONG_REQUEST
    except KeyboardInterrupt:
        say("Stopped by the keyboard; the store holds what was finished before.")
        status = WRONG_REQUEST
    except BaseException as unforeseen:  # a panic inside a library is none of Exception
        if debug or isinstance(unforeseen, SystemExit):
            raise
        say(stages.unforeseen_sentence(unforeseen))
        status = WRONG_REQUEST
    sys.exit(status if isinstance(status, int) else DONE)


def run() -> None:
    """Run the command line as the process it is, and end that at once.

    To take a thousand modules apart again is a tenth of a command's work. Nothing waits for it: files are
    written whole, and the store is closed.
    """
    try:
        main()
    except SystemExit as end:
        with suppress(OSError):  # whoever read our output is gone: Python's own end sees to that
            sys.stdout.flush()
            sys.stderr.flush()
            os._exit(int(end.code or DONE))
        raise


if __name__ == "__main__":
    run()
