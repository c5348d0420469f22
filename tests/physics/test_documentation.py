"""Every public function of the physics says what it takes, gives, refuses, and where it comes from."""

from __future__ import annotations

import doctest
import importlib
import inspect
import pkgutil
from collections.abc import Callable
from types import ModuleType
from typing import Any

import pytest

from pipeline import physics

# Helpers whose one line says it all: conversions exact by definition and typed wrappers of NumPy.
PLAIN = {"constants", "elementwise", "ranges"}
MODULES = [
    importlib.import_module(f"pipeline.physics.{found.name}")
    for found in pkgutil.iter_modules(physics.__path__)
]
FUNCTIONS = [
    function
    for module in MODULES
    if module.__name__.rpartition(".")[2] not in PLAIN
    for name, function in inspect.getmembers(module, inspect.isfunction)
    if function.__module__ == module.__name__ and not name.startswith("_")
]
# Short helpers of the bench card and one-line names of the trade need no full sections.
SHORT = {"turns_of_each", "grown_since_service", "refuse_unreal"}


def refuses(function: Callable[..., Any]) -> bool:
    source = inspect.getsource(function)
    return "refuse" in source or "raise " in source


@pytest.mark.parametrize("function", FUNCTIONS, ids=[f.__name__ for f in FUNCTIONS])
def test_public_functions_are_documented(function: Callable[..., Any]) -> None:
    text = inspect.getdoc(function) or ""
    if function.__name__ in SHORT:
        assert text
        return
    sections = ["Returns", "References"]
    sections += ["Parameters"] if inspect.signature(function).parameters else []
    sections += ["Raises"] if refuses(function) else []
    assert [name for name in sections if f"\n{name}\n{'-' * len(name)}\n" not in text] == []


@pytest.mark.parametrize("module", MODULES, ids=[module.__name__ for module in MODULES])
def test_examples_run_as_written(module: ModuleType) -> None:
    assert doctest.testmod(module).failed == 0


def test_there_are_functions_to_look_at() -> None:
    assert len(FUNCTIONS) > 60
