"""The order of queries comes from what each says it reads, and each says what it does read."""

import re

import pytest

from pipeline.errors import StoreError
from pipeline.store import order
from pipeline.store.database import query, query_names
from pipeline.store.order import made_by, ordered, stated

FOLDERS = {
    "doubts": ("doubts", "doubts/prepare", "doubts/after", "doubts/given"),
    "runs": ("runs",),
}
TYPED = {f"typed_{kind}" for kind in ("timeslips", "weather", "track", "setups", "checks")}
MAKES = re.compile(r"create or replace (?:temp )?(?:table|macro|view) (\w+)")
FINDS = re.compile(r"insert into (findings)\b")


def body(name: str) -> str:
    return "\n".join(line for line in query(name).splitlines() if not line.lstrip().startswith("--"))


def read_in(text: str, known: set[str]) -> set[str]:
    """Names of tables behind from, join and unpivot, of macros before a bracket, and of tables in quotes."""
    own = {*re.findall(r"\b(\w+)(?: \([^)]*\))? as \(", text), *MAKES.findall(text)}
    pattern = r"\b(?:from|join|unpivot|update)\s+\(?\s*{0}\b(?!\s*\()|(?<![.\w]){0}\s*\(|'{0}'\s*\)"
    return {name for name in known - own if re.search(pattern.format(name), text)}


@pytest.mark.parametrize("step", FOLDERS)
def test_a_query_states_what_it_reads_and_makes(step: str) -> None:
    names = [name for folder in FOLDERS[step] for name in query_names(folder)]
    known = (TYPED if step == "doubts" else set()) | {
        made for name in names for made in MAKES.findall(body(name))
    }
    makers = {made: name for name in names for made in MAKES.findall(body(name))}
    rules = {name.removeprefix("doubts/") for name in query_names("doubts")}
    for name in names:
        text = body(name)
        found = read_in(text, known)
        said = set(stated(name, "Reads"))
        steps = {name, *(makers[table] for table in found & set(makers))}  # it may read findings in two
        judged = any("findings" in read_in(body(step_of), known) for step_of in steps)
        if name.removeprefix("doubts/") in rules and judged:
            assert said & rules, f"{name} reads findings: of which rules?"
            found, said = found - {"findings"}, said - rules
        assert said - {"questions"} == found, name
        makes = MAKES.findall(text)
        if makes:
            assert set(made_by(name)) == set(makes), name


def test_each_rule_fills_what_it_says() -> None:
    for name in query_names("doubts"):
        assert set(FINDS.findall(body(name))) == {"findings"}, name


def test_what_is_read_comes_first_and_a_circle_is_a_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    files = {
        "x/last": "-- Reads: middle_of, first\n", "x/first": "select 1;\n",
        "x/second": "-- Reads: first\n-- Makes: middle_of\n",
    }  # fmt: skip
    monkeypatch.setattr(order, "query", files.__getitem__)
    assert ordered(files) == ["x/first", "x/second", "x/last"]
    files["x/first"] = "-- Reads: last\n"
    with pytest.raises(StoreError, match="wait for each other"):
        ordered(files)
