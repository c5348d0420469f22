"""Show the SQL that a step runs: ``python -m pipeline.store.rendered raw/read weather``."""

from __future__ import annotations

import sys

from pipeline.errors import SlipledgerError
from pipeline.garage.dictionary import KINDS
from pipeline.store.database import query


def main(arguments: list[str]) -> int:
    """Print one query as it is run.

    Parameters
    ----------
    arguments
        The step (folder and file below ``queries/``) and, where it has one, the kind of sheet.

    Returns
    -------
    int
        0, or 2 when there is no such step or it needs a kind.
    """
    if not 1 <= len(arguments) <= 2:
        sys.stderr.write(f"Name a step, as raw/read, and a kind of sheet: {', '.join(KINDS)}.\n")
        return 2
    try:
        sys.stdout.write(query(*arguments))
    except SlipledgerError as wrong:
        sys.stderr.write(f"{wrong}\n")
        return 2
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
