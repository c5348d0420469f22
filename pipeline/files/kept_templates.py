"""Compiled templates kept as files beside the other things slipledger need not make twice.

To compile the templates of the queries takes as long as to run them for a season. They are kept in the folder
for such things of the person who runs slipledger; where it cannot be written, nothing is kept.
"""

from __future__ import annotations

from contextlib import suppress
from functools import cache
from importlib import metadata
from pathlib import Path

import jinja2
import platformdirs
from jinja2.bccache import Bucket

FOLDER = Path(platformdirs.user_cache_dir("slipledger")) / "templates"


class KeptTemplates(jinja2.FileSystemBytecodeCache):
    """Compiled templates in a folder; one counts only for the same text, options and versions."""

    def __init__(self, folder: Path | None = None) -> None:
        folder = folder or FOLDER
        with suppress(OSError):
            folder.mkdir(parents=True, exist_ok=True)
        super().__init__(str(folder), "%s.template")

    def get_bucket(
        self, environment: jinja2.Environment, name: str, filename: str | None, source: str
    ) -> Bucket:
        """Return what is kept of a template; nothing when its text or the options differ."""
        options = (environment.trim_blocks, environment.lstrip_blocks, environment.keep_trailing_newline)
        marked = f"{options} {environment.autoescape} {_versions()}\n{source}"
        return super().get_bucket(environment, name, filename, marked)

    def load_bytecode(self, bucket: Bucket) -> None:
        """Read a template; one that cannot be read, or is half a file, is none."""
        try:
            super().load_bytecode(bucket)
        except (OSError, EOFError, ValueError, TypeError):
            bucket.reset()

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep a template where that can be done."""
        with suppress(OSError):
            super().dump_bytecode(bucket)


@cache
def _versions() -> str:
    """Return versions that what is compiled hangs on: a filter of a constant is worked out then."""
    return f"{jinja2.__version__} {metadata.version('slipledger')}"
