"""The layers of the house: imports go one way, and never hide inside a function."""

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent

# Each layer may import itself and those named; the order is the way the work flows.
ALLOWED: dict[str, set[str]] = {
    "pipeline.errors": set(),
    "pipeline.dictionary": {"pipeline.errors"},
    "pipeline.units": {"pipeline.errors", "pipeline.dictionary"},
    "pipeline.cautions": set(),
    "pipeline.workspace": set(),
    "pipeline.whole_file": {"pipeline.errors"},
    "pipeline.file_names": set(),
    "pipeline.spreadsheet_text": set(),
    "pipeline.sheet_files": {"pipeline.errors", "pipeline.file_names"},
    "queries": set(),
    "pipeline.logbook": {
        "pipeline.errors",
        "pipeline.dictionary",
        "pipeline.units",
        "pipeline.sheet_files",
    },
    "pipeline.physics": {"pipeline.errors"},
}
BASE = {
    "pipeline.errors",
    "pipeline.workspace",
    "pipeline.whole_file",
    "pipeline.file_names",
    "pipeline.sheet_files",
    "pipeline.spreadsheet_text",
    "pipeline.cautions",
    "pipeline.dictionary",
    "pipeline.units",
    "pipeline.logbook",
}
STAGES = (
    "store",
    "ingest",
    "physics",
    "model",
    "new_logbook",
    "export",
    "car_data",
    "deciding",
    "pooling",
    "opening",
    "bench",
    "adjustment_names",
)
ALLOWED["pipeline.store"] = BASE | {"queries", "pipeline.model.results", "pipeline.model.fleet_results"}
ALLOWED["pipeline.ingest"] = BASE | {"queries", "pipeline.store"}
ALLOWED["pipeline.model"] = BASE | {"pipeline.store", "pipeline.physics"}
ALLOWED["reports"] = {
    "pipeline.errors",
    "pipeline.spreadsheet_text",
    "pipeline.cautions",
    "pipeline.dictionary",
    "pipeline.units",
    "pipeline.store.tables",
    "pipeline.model.results",
    "pipeline.model.fleet_results",
}
ALLOWED["pipeline.new_logbook"] = BASE
ALLOWED["pipeline.export"] = BASE | {"pipeline.store"}
ALLOWED["pipeline.stages"] = BASE | {"queries", "reports"} | {f"pipeline.{name}" for name in STAGES}
for helper in ("terminal", "car_data", "deciding", "pooling", "opening", "bench", "adjustment_names"):
    ALLOWED[f"pipeline.{helper}"] = ALLOWED["pipeline.stages"]
ALLOWED["pipeline.stages"] = ALLOWED["pipeline.stages"] | {"pipeline.terminal"}
ALLOWED["pipeline.cli"] = {"pipeline.errors", "pipeline.file_names", "pipeline.workspace", "pipeline.stages"}
ALLOWED["sample_timeslips"] = set()

# The heavy results records are plain data: any layer below the model may name them.
PLAIN_RECORDS = {"pipeline.model.results", "pipeline.model.fleet_results"}


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
    if layer_of(name) in {"pipeline.stages", "pipeline.cli"}:
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
