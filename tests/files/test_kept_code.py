"""Compiled patterns and records kept as a file: the same ones, made once, never in the way."""

import re
import subprocess
import sys
from dataclasses import FrozenInstanceError, dataclass
from pathlib import Path
from typing import Any

import pytest

from pipeline.files import kept_code as module
from pipeline.files.kept_code import kept_code

WORDS = r"(?P<lane>left|right)[ ,]+(\d+(?:\.\d+)?)"


@pytest.fixture(autouse=True)
def forgotten() -> None:
    re.purge()


def found(text: str = WORDS, flags: int = 0) -> Any:
    re.purge()
    return re.compile(text, flags)


def record() -> Any:
    @dataclass(frozen=True, order=True)
    class Run:
        number: int
        note: str = "clean"

    return Run


def never(*_words: object, **_named: object) -> None:
    pytest.fail("compiled again")


def test_a_pattern_is_parsed_once_and_finds_what_it_found(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with kept_code(tmp_path):
        first = found(WORDS, re.IGNORECASE)
    monkeypatch.setattr("re._parser.parse", never)
    with kept_code(tmp_path):
        second = found(WORDS, re.IGNORECASE)
    assert second == first
    assert (second.pattern, second.flags, second.groups) == (first.pattern, first.flags, first.groups)
    assert second.groupindex == first.groupindex
    match = second.search("in the LEFT, 1.42")
    assert match is not None
    assert (match["lane"], match[2], match.lastgroup) == ("LEFT", "1.42", None)


def test_other_flags_or_bytes_are_another_pattern(tmp_path: Path) -> None:
    for _ in range(2):
        with kept_code(tmp_path):
            re.purge()
            assert re.compile("mph").match("MPH") is None
            assert re.compile("mph", re.IGNORECASE).match("MPH") is not None
            assert re.compile(b"mph", re.IGNORECASE).match(b"MPH") is not None


def test_a_wrong_pattern_is_as_wrong_as_ever(tmp_path: Path) -> None:
    for _ in range(2):
        with kept_code(tmp_path), pytest.raises(re.error, match="unterminated"):
            found("(left")


def test_a_record_is_the_same_from_what_is_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with kept_code(tmp_path):
        record()
    monkeypatch.setattr(module, "compile", never, raising=False)
    with kept_code(tmp_path):
        kept = record()
    run = kept(3)
    assert (repr(run).rpartition(".")[2], run == kept(3, "clean"), run < kept(4)) == (
        "Run(number=3, note='clean')",
        True,
        True,
    )
    with pytest.raises(FrozenInstanceError):
        run.number = 4


@pytest.mark.parametrize("spoil", [lambda kept: kept[:-20], lambda _: b"", lambda _: b"\x00no code at all"])
def test_a_damaged_file_costs_only_time(tmp_path: Path, spoil: Any) -> None:
    with kept_code(tmp_path):
        found()
    (file,) = tmp_path.iterdir()
    file.write_bytes(spoil(file.read_bytes()))
    with kept_code(tmp_path):
        assert found().search("right 7") is not None
        assert record()(3).number == 3


def test_no_folder_to_write_to_costs_only_time(tmp_path: Path) -> None:
    no_folder = tmp_path / "file"
    no_folder.write_text("none", encoding="utf-8")
    with kept_code(no_folder):
        assert found().search("right 7") is not None


def test_code_that_the_engine_refuses_is_made_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with kept_code(tmp_path):
        found()
    monkeypatch.setattr(module.KeptCode, "found", lambda *_: (32, b"\xff" * 8, 2, {}, (None,)))
    with kept_code(tmp_path):
        assert found().search("right 7") is not None


def test_what_no_process_uses_any_more_is_dropped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MOST_KEPT", 12)
    sizes = []
    for round_of_ten in range(3):
        with kept_code(tmp_path):
            for number in range(10):
                found(f"run {round_of_ten} {number}")
        (file,) = tmp_path.iterdir()
        sizes.append(len(module.KeptCode(file)._known))
    assert sizes == [10, 10, 10]


def test_python_is_as_it_was_afterwards(tmp_path: Path) -> None:
    script = (
        "import dataclasses, re, re._compiler as c, _sre, sys\n"
        "from pathlib import Path\n"
        "before = c.compile\n"
        "from pipeline.files.kept_code import kept_code\n"
        "with kept_code(Path(sys.argv[1])): re.compile('left')\n"
        "print(c.compile is before, c._sre is _sre, 'exec' in vars(dataclasses))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, str(tmp_path)], capture_output=True, text=True, check=True
    )
    assert done.stdout == "True True False\n"
