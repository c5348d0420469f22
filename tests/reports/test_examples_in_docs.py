import doctest
from types import ModuleType

import pytest

from reports import numbers, words


@pytest.mark.parametrize("module", [numbers, words], ids=lambda module: module.__name__)
def test_examples_in_docstrings_hold(module: ModuleType) -> None:
    result = doctest.testmod(module)
    assert result.attempted > 0
    assert result.failed == 0
