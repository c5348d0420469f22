"""The command line: help for all, one clear line for what is wrong, nothing heavy for --help."""

import subprocess
import sys
from pathlib import Path

import pytest
import typer

from pipeline.cli import app, main

COMMANDS = dict(typer.main.get_command(app).commands)
PROMISED = {
    "new",
    "ingest",
    "questions",
    "fit",
    "nightly",
    "season",
    "evidence",
    "next",
    "plan",
    "clutch",
    "fleet",
    "export",
}


def run(*words: str, capsys: pytest.CaptureFixture[str]) -> tuple[int, str, str]:
    with pytest.raises(SystemExit) as end:
        main(list(words))
    shown = capsys.readouterr()
    return int(end.value.code or 0), shown.out, shown.err


def test_the_promised_commands_are_there() -> None:
    assert set(COMMANDS) == PROMISED


@pytest.mark.parametrize("name", sorted(PROMISED))
def test_every_command_explains_itself_with_an_example(name: str) -> None:
    command = COMMANDS[name]
    assert command.help
    assert (command.epilog or "").startswith(f"Example: slipledger {name}")


@pytest.mark.parametrize("name", sorted(PROMISED))
def test_every_command_is_in_the_readme(name: str) -> None:
    readme = (Path(__file__).parent.parent / "README.md").read_text(encoding="utf-8")
    assert f"slipledger {name}" in readme


@pytest.mark.parametrize("name", sorted(PROMISED - {"new"}))
def test_every_command_on_a_logbook_takes_the_shared_options(name: str) -> None:
    taken = {word for option in COMMANDS[name].params for word in option.opts}
    assert {"--store", "--out", "--car", "--json", "--quiet"} <= taken


def test_no_argument_prints_help(capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = run(capsys=capsys)
    assert status == 0
    assert "season" in out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["seasn", "x"], "seasn"),
        (["season"], "LOGBOOK"),
        (["plan", "x", "--runs", "many"], "many"),
        (["season", "there/is/no/such/folder"], "there/is/no/such/folder"),
    ],
)
def test_a_wrong_request_is_one_line_and_status_2(
    words: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    status, out, err = run(*words, capsys=capsys)
    assert status == 2
    assert out == ""
    assert err.count("\n") == 1
    assert said in err


def test_help_imports_nothing_heavy() -> None:
    program = (
        "import sys\n"
        "from pipeline.cli import main\n"
        "try:\n    main(['--help'])\nexcept SystemExit:\n    pass\n"
        "watched = {'duckdb', 'altair', 'statsmodels', 'polars', 'numpy', 'pint', 'sklearn'}\n"
        "heavy = watched & set(sys.modules)\n"
        "sys.exit(', '.join(sorted(heavy)) or 0)\n"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
