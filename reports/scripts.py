"""The browser scripts of a page: one bundle, made once for each version and kept as a file.

Making the bundle costs more than a second; reading it back, a few milliseconds. Nothing is fetched:
the pieces come with the ``vl-convert`` package. Where the cache folder cannot be written the
bundle is made again in memory for this process.
"""

from __future__ import annotations

import base64
import hashlib
import os
import tempfile
from contextlib import suppress
from functools import lru_cache
from importlib import metadata, resources
from pathlib import Path

import platformdirs
import vl_convert

CACHE_NAME = "slipledger"
EXPORTS = "window.vegaEmbed = vegaEmbed;"


@lru_cache(maxsize=1)
def chart_bundle() -> str:
    """Return the Vega, Vega-Lite and Vega-Embed scripts as one text, safe inside a script element."""
    path = bundle_path()
    with suppress(OSError):
        kept = path.read_text(encoding="utf-8")
        if kept:
            return kept
    made = _inline_safe(vl_convert.javascript_bundle(EXPORTS))
    with suppress(OSError):
        _write_whole(path, made)
    return made


def bundle_path() -> Path:
    """Say where this version's bundle is kept."""
    vega = vl_convert.get_vega_version().lstrip("v")
    name = f"charts-{metadata.version('vl-convert-python')}-vega-{vega}.js"
    return Path(platformdirs.user_cache_dir(CACHE_NAME)) / name


@lru_cache(maxsize=8)
def page_script(name: str = "page.js") -> str:
    """Return a script of our own; ``page.js`` draws the charts and ties the controls to them."""
    return resources.files("reports").joinpath(f"templates/{name}").read_text(encoding="utf-8").strip()


@lru_cache(maxsize=8)
def script_hash(text: str) -> str:
    """Return the source expression that lets exactly this script run on the page."""
    digest = hashlib.sha256(text.encode("utf-8")).digest()
    return f"'sha256-{base64.b64encode(digest).decode('ascii')}'"


def _inline_safe(script: str) -> str:
    """Break up what would end a script element early, without changing what the script means."""
    return script.replace("</script", "<\\/script").replace("<!--", "<\\!--").replace("\r\n", "\n").strip()


def _write_whole(path: Path, text: str) -> None:
    """Write a file so that another process sees all of it or none."""
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, draft = tempfile.mkstemp(dir=path.parent, suffix=".part")
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
        Path(draft).replace(path)
    except OSError:
        Path(draft).unlink(missing_ok=True)
        raise
