"""Text that a spreadsheet shows and does not run."""

from __future__ import annotations

import re
from typing import Any

FORMULA_START = r"^[=+\-@\t\r]"
_STARTS = re.compile(FORMULA_START)


def as_text(cell: Any) -> Any:
    """Put an apostrophe before text that a spreadsheet would take for a formula; numbers stay as they are."""
    if not isinstance(cell, str) or not _STARTS.match(cell) or _is_number(cell):
        return cell
    return f"'{cell}"


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True
