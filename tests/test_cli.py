"""The command line: help for all, one clear line for what is wrong, nothing heavy for --help."""

import io
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
import typer

from pipeline import commands, stages
from pipeline.cli import main
from pipeline.commands import app
from pipeline.errors import SheetError
from pipeline.options import progress_bar, say
from pipeline.workspace import Outcome

COMMANDS = dict(typer.main.get_command(app).commands)
PROMISED = {
    "new",
    "ingest",
    "questions",
    "attached",
    "fit",
    "nightly",
    "season",
    "evidence",
    "next",
    "compare",
    "plan",
    "clutch",
    "handout",
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
def test_an_example_can_be_copied_from_one_line_and_help_speaks_of_no_stages(name: str) -> None:
    command = COMMANDS[name]
    assert len(command.epilog or "") <= 76
    assert "stage" not in str(command.help)


class Terminal(io.StringIO):
    """A place to write to that says it is a terminal."""

    def isatty(self) -> bool:
        return True


def test_the_bar_keeps_to_its_line_and_is_taken_away(monkeypatch: pytest.MonkeyPatch) -> None:
    screen = Terminal()
    monkeypatch.setattr(sys, "stderr", screen)
    show = progress_bar(quiet=False)
    assert show is not None
    show("reading a sheet with a very long name indeed.csv", 0.5)
    show("drawing", 1.0)
    say("There is no such folder.")
    lines = screen.getvalue().split("\r")
    assert len({len(line) for line in lines[1:-1]}) == 1
    assert lines[-2].strip() == ""
    assert lines[-1] == "slipledger: There is no such folder.\n"


def test_there_is_no_bar_when_piped_or_quiet(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stderr", io.StringIO())
    assert progress_bar(quiet=False) is None
    monkeypatch.setattr(sys, "stderr", Terminal())
    assert progress_bar(quiet=True) is None


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
        (["plan", "x", "--for", "glory"], "Choose 60ft or learning"),
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


def test_a_panic_inside_a_library_is_a_sentence_too(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    class Panic(BaseException):
        """As a library written in another language raises it."""

    def panic(*_: object, **__: object) -> None:
        raise Panic("index out of bounds\nbacktrace")

    monkeypatch.setattr(stages, "ingest", panic)
    with pytest.raises(SystemExit) as left:
        main(["ingest", "anywhere"])
    assert left.value.code == 2
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    assert "Panic: index out of bounds" in said
    with pytest.raises(Panic):
        main(["ingest", "anywhere", "--debug"])


def test_a_process_ends_with_its_status_and_all_it_said(tmp_path: Path) -> None:
    ended = subprocess.run(
        [sys.executable, "-m", "pipeline.cli", "ingest", str(tmp_path / "none")],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert ended.returncode == 2
    assert ended.stdout == ""
    assert ended.stderr.startswith("slipledger: ")
    assert ended.stderr.count("\n") == 1


def test_watching_renews_says_what_is_wrong_and_ends_with_ctrl_c(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    made: list[str | None] = ["first.html", None, "second.html"]

    def nightly(*_: object, **__: object) -> Outcome:
        page = made.pop(0)
        if page is None:
            raise SheetError("slips.csv is empty.", "Fill it in.")
        return Outcome("", {}, files=(Path(page),))

    def saves(_root: Path) -> Iterator[None]:
        yield from [None] * 3
        raise KeyboardInterrupt

    monkeypatch.setattr(stages, "nightly", nightly)
    monkeypatch.setattr(commands, "saves", saves)
    status, out, err = run("nightly", str(tmp_path), "--watch", capsys=capsys)
    assert status == 0
    assert [line.split(" renewed ")[1] for line in out.splitlines()] == ["first.html", "second.html"]
    assert err == "slipledger: slips.csv is empty. Fill it in.\n"


def test_watching_a_folder_that_is_not_there_is_a_wrong_request(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status, out, err = run("nightly", str(tmp_path / "none"), "--watch", capsys=capsys)
    assert (status, out, err.count("\n")) == (2, "", 1)
    status, out, err = run("nightly", str(tmp_path), "--watch", "--json", capsys=capsys)
    assert (status, out, err.count("\n")) == (2, "", 1)
    assert "--json" in err
