"""Change the heart of the model in small ways, one at a time, and count how many changes its tests notice.

    uv run --group mutants python -m tests.mutants 40 [module ...]

takes a random sample of so many changes of each module (the same each time), tries them in a copy of the
tree, and prints the share noticed and every change that was not.
"""

from __future__ import annotations

import random
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path

ROOT = Path(__file__).parents[1]
HEART = {
    "pipeline/physics/clutch.py": ("tests/physics/test_clutch.py", "tests/reference/test_clutch.py"),
    "pipeline/physics/capacity.py": ("tests/physics/test_clutch.py", "tests/reference/test_clutch.py"),
    "pipeline/physics/wear.py": ("tests/physics/test_wear.py",),
    "pipeline/ingest/values.py": ("tests/ingest/test_values.py",),
    "pipeline/ingest/dates.py": ("tests/ingest/test_values.py",),
    "pipeline/decide/limits.py": ("tests/decide/test_limits.py",),
    "pipeline/decide/next_setting.py": ("tests/decide/test_next_setting.py", "tests/decide/test_holding.py"),
    "pipeline/season/elimination.py": ("tests/season/test_posterior.py",),
    "pipeline/season/posterior.py": ("tests/season/test_posterior.py",),
    "pipeline/season/effects.py": ("tests/season/test_effects.py", "tests/season/test_written_down.py"),
    "pipeline/season/verdicts.py": ("tests/season/test_verdicts.py",),
    "pipeline/season/season_change.py": (
        "tests/season/test_season_change.py",
        "tests/season/test_written_down.py",
    ),
}
"""Module -> the tests that must notice a change of it."""
SETTINGS = """
[cosmic-ray]
module-path = "{module}"
timeout = {timeout}
excluded-modules = []
test-command = "{python} -m pytest -x -q -p no:cacheprovider {tests}"
[cosmic-ray.distributor]
name = "local"
[cosmic-ray.filters.operators-filter]
exclude-operators = ["core/ReplaceBinaryOperator_BitOr_.*", "core/RemoveDecorator", "core/ExceptionReplacer"]
"""
SEED = 20310417
TIMEOUT_S = 300


def mutate(module: str, tests: Sequence[str], sample: int, tree: Path) -> tuple[int, list[str]]:
    """Try a sample of changes of one module.

    Parameters
    ----------
    module
        Its path in the tree.
    tests
        What must notice.
    sample
        How many changes.
    tree
        A copy of the project that may be spoilt.

    Returns
    -------
    tuple
        How many were tried, and a line for each that nobody noticed.
    """
    config, session = tree / "mutants.toml", tree / "mutants.sqlite"
    session.unlink(missing_ok=True)
    config.write_text(
        SETTINGS.format(module=module, timeout=TIMEOUT_S, python=sys.executable, tests=" ".join(tests)),
        encoding="utf-8",
    )
    _run(tree, "cosmic-ray", "init", config.name, session.name)
    _run(tree, "cr-filter-operators", session.name, config.name)
    _keep_sample(session, sample)
    _run(tree, "cosmic-ray", "exec", config.name, session.name)
    return _read(session, (tree / module).read_text(encoding="utf-8").splitlines())


def _run(tree: Path, tool: str, *words: str) -> None:
    subprocess.run([Path(sys.executable).with_name(tool), *words], cwd=tree, check=True, capture_output=True)


def _keep_sample(session: Path, sample: int) -> None:
    with closing(sqlite3.connect(session)) as con, con:
        done = {job for (job,) in con.execute("select job_id from work_results")}
        jobs = [job for (job,) in con.execute("select job_id from mutation_specs order by job_id")]
        places = {
            job: place
            for job, *place in con.execute(
                "select job_id, operator_name, start_pos_row, start_pos_col, occurrence from mutation_specs"
            )
        }
        left = sorted((job for job in jobs if job not in done), key=lambda job: places[job])
        kept = set(random.Random(SEED).sample(left, min(sample, len(left))))
        for table in ("mutation_specs", "work_results", "work_items"):
            con.executemany(
                f"delete from {table} where job_id = ?", [(job,) for job in jobs if job not in kept]
            )


def _read(session: Path, lines: Sequence[str]) -> tuple[int, list[str]]:
    with closing(sqlite3.connect(session)) as con:
        rows = con.execute(
            "select operator_name, start_pos_row, start_pos_col, test_outcome from mutation_specs "
            "join work_results using (job_id) order by start_pos_row, start_pos_col"
        ).fetchall()
    survived = [
        f"  line {row}: {operator.removeprefix('core/')} in `{lines[row - 1].strip()}`"
        for operator, row, _, outcome in rows
        if "SURVIVED" in str(outcome).upper()
    ]
    return len(rows), survived


def main(sample: int, modules: Sequence[str]) -> None:
    """Print the share noticed, module by module."""
    with tempfile.TemporaryDirectory() as folder:
        tree = Path(folder) / "tree"
        left_out = shutil.ignore_patterns(
            ".venv", ".git", ".*_cache", "__pycache__", "*.duckdb", ".hypothesis"
        )
        shutil.copytree(ROOT, tree, ignore=left_out)
        for module, tests in HEART.items():
            if modules and module not in modules:
                continue
            tried, survived = mutate(module, tests, sample, tree)
            noticed = tried - len(survived)
            told = [f"{module}: {noticed} of {tried} noticed ({noticed / max(tried, 1):.0%})", *survived]
            print("\n".join(told), flush=True)  # noqa: T201


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 40, sys.argv[2:])
