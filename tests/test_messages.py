"""Every error raised on purpose says what is wrong with the value in it, and what to do about it."""

import ast
from pathlib import Path

import pytest

from pipeline import errors

ROOT = Path(__file__).parent.parent
TREE = {
    name for name, thing in vars(errors).items() if isinstance(thing, type) and issubclass(thing, Exception)
}


def raises() -> list[tuple[str, ast.Call]]:
    found = []
    for folder in ("pipeline", "reports"):
        for path in sorted((ROOT / folder).rglob("*.py")):
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in TREE:
                    found.append((f"{path.relative_to(ROOT).as_posix()}:{node.lineno}", node))
    return found


RAISES = raises()


def carries_a_value(argument: ast.expr) -> bool:
    """An f-string with something in it, or words put together elsewhere."""
    if isinstance(argument, ast.JoinedStr):
        return any(isinstance(part, ast.FormattedValue) for part in argument.values)
    return not isinstance(argument, ast.Constant)


# There is no value to show where nothing at all was given.
NOTHING_GIVEN = ("There is no run in this logbook yet.", "There are no cars to pool.")


@pytest.mark.parametrize(("where", "call"), RAISES, ids=[where for where, _ in RAISES])
def test_a_message_has_its_value_and_its_remedy(where: str, call: ast.Call) -> None:
    if isinstance(call.func, ast.Name) and call.func.id == "OutOfRange":
        assert len(call.args) + len(call.keywords) == 6, where
        return
    assert len(call.args) + len(call.keywords) == 2, f"{where}: a problem and a remedy are needed"
    problem = call.args[0]
    if isinstance(problem, ast.Constant) and problem.value in NOTHING_GIVEN:
        return
    assert carries_a_value(problem), f"{where}: the message shows no value"


def test_nobody_raises_a_bare_value_error_past_a_stage() -> None:
    # pydantic validators must raise ValueError; records.py guards against our own mistakes; fleet_share.py
    # turns its own into a SheetError at once.
    allowed = {
        "pipeline/garage/logbook.py",
        "pipeline/garage/parts.py",
        "pipeline/garage/quantities.py",
        "pipeline/store/records.py",
        "pipeline/fleet/share.py",
    }
    bare = [
        f"{path.relative_to(ROOT).as_posix()}:{node.lineno}"
        for folder in ("pipeline", "reports")
        for path in sorted((ROOT / folder).rglob("*.py"))
        if path.relative_to(ROOT).as_posix() not in allowed
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Raise)
        and isinstance(node.exc, ast.Call)
        and isinstance(node.exc.func, ast.Name)
        and node.exc.func.id in {"ValueError", "Exception", "RuntimeError", "TypeError"}
    ]
    assert bare == []


def test_every_class_of_the_tree_is_drawn_in_its_docstring() -> None:
    drawn = errors.__doc__ or ""
    assert all(name in drawn for name in TREE)
