"""What a command may load: libraries are most of its time, so each needs its reason here."""

import ast
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

from pipeline import stages

ROOT = Path(__file__).parent.parent
STAGES = {
    f"pipeline.stages.{path.stem}": ast.parse(path.read_text(encoding="utf-8"))
    for path in Path(stages.__file__).parent.glob("*.py")
}
FUNCTIONS = {
    node.name: node for tree in STAGES.values() for node in tree.body if isinstance(node, ast.FunctionDef)
}
ON_DEMAND = frozenset({"_second_opinions"})
"""Functions of the stages that only an option asks for."""
READING = {"duckdb", "fastexcel", "jinja2", "numpy", "platformdirs", "polars", "pyarrow", "pydantic"}
PAGE = {"markupsafe", "rich", "vl_convert"}
DRAWN = READING | PAGE | {"altair", "scipy.special"}
MAY_LOAD = {
    "new": READING | PAGE | {"xlsxwriter"},
    "ingest": READING | PAGE,
    "questions": READING | PAGE,
    "attached": READING | PAGE,
    "next_setting": DRAWN,
    "plan": DRAWN,
    "fit": DRAWN,
    "nightly": DRAWN,
    "season": DRAWN,
    "evidence": DRAWN,
}
"""Stage -> libraries outside Python's own."""
OURS = {"pipeline", "reports", "queries", "sample_timeslips"}


def named(node: ast.AST) -> list[str]:
    """Modules that a statement may import: a name imported from a package may be a module of it."""
    if isinstance(node, ast.Import):
        return [alias.name for alias in node.names]
    if isinstance(node, ast.ImportFrom) and node.module:
        return [node.module, *(f"{node.module}.{alias.name}" for alias in node.names)]
    return []


def file_of(module: str) -> Path | None:
    place = ROOT.joinpath(*module.split("."))
    return next((p for p in (place.with_suffix(".py"), place / "__init__.py") if p.is_file()), None)


@cache
def loaded_by(module: str) -> frozenset[str]:
    """Names that a module of ours imports when it is loaded; what is for type checking only is not."""
    path = file_of(module)
    assert path is not None, module
    found: set[str] = set()
    for node in ast.parse(path.read_text(encoding="utf-8")).body:
        found.update(named(node))
    return frozenset(found)


def called_from(name: str, passed_over: frozenset[str]) -> set[str]:
    """A function of the stages with all the others there that it may call."""
    seen: set[str] = set()
    wanted = {name}
    while wanted:
        seen |= wanted
        used = {node.id for one in wanted for node in ast.walk(FUNCTIONS[one]) if isinstance(node, ast.Name)}
        wanted = (used & set(FUNCTIONS)) - seen - passed_over
    return seen


def libraries_of(stage: str, passed_over: frozenset[str] = ON_DEMAND) -> set[str]:
    """Every library outside Python's own that a stage loads, by itself or through modules of ours."""
    functions = called_from(stage, passed_over)
    wanted = set(loaded_by("pipeline.stages"))
    for called in functions:
        wanted.update(name for inner in ast.walk(FUNCTIONS[called]) for name in named(inner))
    modules: set[str] = set()
    libraries: set[str] = set()
    while wanted:
        name = wanted.pop()
        if name.split(".")[0] not in OURS:
            libraries.add(name)
        elif name not in modules and file_of(name) is not None:
            modules.add(name)
            wanted |= loaded_by(name)
    parts = (name.split(".")[:2] if name.startswith("scipy") else name.split(".")[:1] for name in libraries)
    return {".".join(part) for part in parts} - sys.stdlib_module_names - {"scipy"}


@pytest.mark.parametrize("stage", MAY_LOAD)
def test_a_command_loads_no_library_without_a_reason(stage: str) -> None:
    assert libraries_of(stage) <= MAY_LOAD[stage]


def test_what_only_an_option_asks_for_is_seen_where_it_is_not_passed_over() -> None:
    assert "sklearn" in libraries_of("season", passed_over=frozenset())


ASIDE = """
import sys
from pipeline.libraries_aside import libraries_aside
with libraries_aside():
    import altair
    from scipy.special import ndtr
    print({"numpy.f2py.rules", "altair.datasets._loader"} & set(sys.modules), float(ndtr(0.0)))
import altair.datasets, numpy, numpy.f2py
print(altair.datasets.data is not None, numpy.testing.assert_allclose(1, 1), callable(numpy.f2py.run_main))
"""


def test_what_libraries_load_along_is_empty_in_a_command_and_whole_afterwards() -> None:
    done = subprocess.run([sys.executable, "-c", ASIDE], capture_output=True, text=True, check=True)
    assert done.stdout == "set() 0.5\nTrue None True\n"
