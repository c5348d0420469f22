from collections.abc import Iterator
from pathlib import Path

import pytest

from reports import scripts


@pytest.fixture
def kept(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Iterator[Path]:
    monkeypatch.setattr(scripts, "bundle_path", lambda: tmp_path / "kept" / "bundle.js")
    scripts.chart_bundle.cache_clear()
    yield tmp_path / "kept" / "bundle.js"
    scripts.chart_bundle.cache_clear()


def test_the_bundle_is_made_once_and_read_back(kept: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    made = scripts.chart_bundle()
    assert kept.read_text(encoding="utf-8") == made
    assert [path.name for path in kept.parent.iterdir()] == ["bundle.js"]
    scripts.chart_bundle.cache_clear()
    monkeypatch.setattr(scripts.vl_convert, "javascript_bundle", lambda _: pytest.fail("made twice"))
    assert scripts.chart_bundle() == made


def test_a_folder_that_can_not_be_written_is_no_hindrance(
    kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept.parent.write_text("a file where the folder should be")
    monkeypatch.setattr(scripts.vl_convert, "javascript_bundle", lambda _: "window.made = 1;")
    assert scripts.chart_bundle() == "window.made = 1;"


def test_nothing_in_a_script_closes_its_element(kept: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(
        scripts.vl_convert, "javascript_bundle", lambda _: 'x = "</script><!-- ";\r\ny = 1;\n'
    )
    assert scripts.chart_bundle() == 'x = "<\\/script><\\!-- ";\ny = 1;'


def test_the_bundles_name_tells_its_versions() -> None:
    assert scripts.bundle_path().name.startswith("charts-")
    assert "-vega-" in scripts.bundle_path().name


def test_a_hash_lets_exactly_one_script_run() -> None:
    # The empty text's SHA-256 in base64, FIPS 180-4 [memory].
    assert scripts.script_hash("") == "'sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU='"
