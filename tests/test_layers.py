"""The layers of the house: imports go one way, and never hide inside a function."""

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent

# Each layer may import itself and those named; the order is the way the work flows.
ALLOWED: dict[str, set[str]] = {
    "queries": set(),
    "sample_timeslips": set(),
    "pipeline.errors": set(),
    "pipeline.cautions": set(),
    "pipeline.workspace": set(),
    "pipeline.libraries_aside": set(),
}
BASE = {"pipeline.errors", "pipeline.cautions", "pipeline.workspace", "pipeline.libraries_aside", "queries"}
# The results records are plain data: any layer below the model may name them.
RECORDS = {
    *(f"pipeline.season.{name}" for name in ("results", "check_results", "whole_run_results", "season_fit")),
    "pipeline.decide.results",
    "pipeline.fleet.results",
}
ROOMS = ("files", "garage", "store", "ingest", "physics", "season", "decide", "fleet")

ALLOWED["pipeline.files"] = {"pipeline.errors"}
ALLOWED["pipeline.garage"] = BASE | {"pipeline.files"}
ALLOWED["pipeline.store"] = BASE | {"pipeline.files", "pipeline.garage"} | RECORDS
ALLOWED["pipeline.ingest"] = BASE | {"pipeline.files", "pipeline.garage", "pipeline.store"}
ALLOWED["pipeline.physics"] = {"pipeline.errors"}
ALLOWED["pipeline.season"] = BASE | {"pipeline.garage", "pipeline.store", "pipeline.physics"} | RECORDS
ALLOWED["pipeline.decide"] = ALLOWED["pipeline.season"] | {"pipeline.season", "pipeline.ingest.values"}
ALLOWED["pipeline.fleet"] = ALLOWED["pipeline.season"] | {"pipeline.season", "pipeline.files"}
ALLOWED["pipeline.fleet"] |= {"pipeline.ingest.opening"}
ALLOWED["reports"] = RECORDS | {
    "pipeline.errors",
    "pipeline.cautions",
    "pipeline.files.kept_templates",
    "pipeline.files.spreadsheet_text",
    "pipeline.garage.dictionary",
    "pipeline.garage.factors",
    "pipeline.garage.units",
    "pipeline.store.tables",
}
ALLOWED["pipeline.stages"] = BASE | {"reports", "pipeline.terminal"}
ALLOWED["pipeline.stages"] |= {f"pipeline.{room}" for room in ROOMS}
ALLOWED["pipeline.terminal"] = ALLOWED["pipeline.stages"]
ALLOWED["pipeline.commands"] = {
    "pipeline.errors",
    "pipeline.files.names",
    "pipeline.files.saves",
    "pipeline.libraries_aside",
    "pipeline.workspace",
    "pipeline.stages",
    "pipeline.options",
}
ALLOWED["pipeline.options"] = {"pipeline.files.names", "pipeline.workspace"}
ALLOWED["pipeline.cli"] = ALLOWED["pipeline.commands"] | {"pipeline.commands"}


def layer_of(module: str) -> str:
    return max((name for name in ALLOWED if module == name or module.startswith(name + ".")), key=len)


def modules() -> list[tuple[str, Path]]:
    found = []
    for folder in ("pipeline", "reports", "queries", "sample_timeslips"):
        for path in sorted((ROOT / folder).rglob("*.py")):
            parts = path.relative_to(ROOT).with_suffix("").parts
            name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
            if name != "pipeline":
                found.append((name, path))
    return found


def imported(node: ast.AST) -> list[str]:
    if isinstance(node, ast.Import):
        return [alias.name for alias in node.names]
    if isinstance(node, ast.ImportFrom) and node.level == 0 and node.module:
        return [node.module, *(f"{node.module}.{alias.name}" for alias in node.names)]
    return []


def ours(name: str) -> bool:
    return name.split(".")[0] in {"pipeline", "reports", "queries", "sample_timeslips"}


MODULES = modules()
NAMES = {name for name, _ in MODULES}


@pytest.mark.parametrize(("name", "path"), MODULES, ids=[name for name, _ in MODULES])
def test_imports_go_one_way(name: str, path: Path) -> None:
    layer = layer_of(name)
    tree = ast.parse(path.read_text(encoding="utf-8"))
    backward = [
        target
        for node in ast.walk(tree)
        for target in imported(node)
        if ours(target)
        and target in NAMES
        and layer_of(target) != layer
        and not any(target == ok or target.startswith(ok + ".") for ok in ALLOWED[layer])
        and target not in {"pipeline"}
    ]
    assert backward == []


@pytest.mark.parametrize(("name", "path"), MODULES, ids=[name for name, _ in MODULES])
def test_no_import_hides_inside_a_function(name: str, path: Path) -> None:
    if layer_of(name) == "pipeline.stages":
        return  # the one place for deferred imports, so that --help stays quick
    tree = ast.parse(path.read_text(encoding="utf-8"))
    hidden = [
        ast.unparse(inner)
        for outer in ast.walk(tree)
        if isinstance(outer, ast.FunctionDef | ast.AsyncFunctionDef)
        for inner in ast.walk(outer)
        if isinstance(inner, ast.Import | ast.ImportFrom)
    ]
    assert hidden == []


def test_relative_imports_are_not_used() -> None:
    relative = [
        name
        for name, path in MODULES
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.ImportFrom) and node.level > 0
    ]
    assert relative == []


def test_the_top_level_is_the_clients() -> None:
    expected = {"README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml"}
    tracked = {path.name for path in ROOT.iterdir() if not path.name.startswith((".", "uv.lock"))}
    folders = {"pipeline", "queries", "reports", "tests", "sample_timeslips"}
    assert tracked - {"dist", "build"} <= expected | folders
