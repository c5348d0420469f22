"""Compiled templates kept as files: used again for the same text, never for another, never in the way."""

from pathlib import Path

import jinja2
import pytest

from pipeline.files.kept_templates import KeptTemplates


def said(folder: Path, text: str, *, trim: bool = False) -> str:
    made = jinja2.Environment(
        loader=jinja2.DictLoader({"one": text}),
        trim_blocks=trim,
        bytecode_cache=KeptTemplates(folder),
    )
    return made.get_template("one").render(name="Marigold")


def test_a_template_is_compiled_once_for_the_same_text_and_options(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = "{% if name %}\nHello {{ name }}{% endif %}"
    assert said(tmp_path, text) == "\nHello Marigold"
    monkeypatch.setattr(jinja2.Environment, "compile", lambda *_args, **_named: pytest.fail("compiled again"))
    assert said(tmp_path, text) == "\nHello Marigold"


def test_another_text_or_other_options_are_compiled_anew(tmp_path: Path) -> None:
    text = "{% if name %}\nHello {{ name }}{% endif %}"
    assert said(tmp_path, text) == "\nHello Marigold"
    assert said(tmp_path, text, trim=True) == "Hello Marigold"
    assert said(tmp_path, "Bye {{ name }}") == "Bye Marigold"


def test_a_damaged_file_or_no_folder_costs_only_time(tmp_path: Path) -> None:
    assert said(tmp_path, "Hello {{ name }}") == "Hello Marigold"
    (kept,) = tmp_path.glob("*.template")
    kept.write_bytes(kept.read_bytes()[:-20])
    assert said(tmp_path, "Hello {{ name }}") == "Hello Marigold"
    assert said(kept, "Hello {{ name }}") == "Hello Marigold"
