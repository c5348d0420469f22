"""A page: figures and tables put into a template with one copy of the scripts and styles.

Everything a person typed goes through autoescape; chart data go in as JSON in which ``<`` cannot
close the element. The page's own policy allows the two scripts it carries, by their hash, and
nothing from anywhere else.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from typing import TYPE_CHECKING, Any, Literal

import jinja2
import vl_convert
from markupsafe import Markup, escape

from pipeline.cautions import CAUTIONS
from pipeline.files.kept_templates import KeptTemplates
from reports import numbers, theme, words
from reports.scripts import chart_bundle, page_script, script_hash

if TYPE_CHECKING:
    import altair as alt

    from pipeline.season.results import SafetyWarning

FileKind = Literal["png", "svg", "pdf"]
FILE_WIDTH = 760
"""Width of a chart written as a file. [px]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """What every page is headed and signed with.

    Attributes
    ----------
    warnings
        Said before anything else.
    store_version, generated_at
        Printed at the foot.
    """

    warnings: tuple[SafetyWarning, ...] = ()
    store_version: str
    generated_at: str


@dataclass(frozen=True, slots=True)
class Table:
    """A table as text.

    Attributes
    ----------
    caption
        Says what the rows are.
    headings
        One a column.
    rows
        Cells as text, or ready-made markup; the first cell names the row.
    figures
        Which columns hold numbers, set right in even figures.
    """

    caption: str
    headings: tuple[str, ...]
    rows: tuple[tuple[str | Markup, ...], ...]
    figures: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class SliderStop:
    """One place of a slider: the value its chart is told, and what it says there."""

    value: float
    says: str


@dataclass(frozen=True, slots=True)
class Slider:
    """A slider under a figure, tied to one switch of its chart."""

    label: str
    switch: str
    stops: tuple[SliderStop, ...]
    start: int


@dataclass(frozen=True, slots=True)
class Figure:
    """A chart with its words, or the sentence that stands in its place.

    Attributes
    ----------
    key
        Names the figure on the page and as a file.
    title
        Heading of the figure.
    reads
        How to read it, in a sentence or two.
    spoken
        What it shows, for someone who cannot see it.
    chart
        None when the data are too thin.
    empty
        The sentence in place of a chart that is None.
    table
        The same numbers.
    slider
        Moves something in the chart.
    marks
        Key of the marks: (glyph, words).
    """

    key: str
    title: str
    reads: str
    spoken: str
    chart: alt.TopLevelLayerSpec | None
    empty: str
    table: Table | None = None
    slider: Slider | None = None
    marks: tuple[tuple[str, str], ...] = ()


def chart_spec(chart: alt.TopLevelLayerSpec, *, validate: bool = False) -> dict[str, Any]:
    """Return a chart's Vega-Lite specification, in which the configuration all charts share is left out.

    Validation costs more than the chart; the tests validate each kind of chart instead.
    """
    spec: dict[str, Any] = chart.to_dict(validate=validate)
    return spec


def as_data(value: Any) -> Markup:
    """Write JSON that is safe inside a script element."""
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    return Markup(text.replace("&", "\\u0026").replace("<", "\\u003c").replace(">", "\\u003e"))


def render_chart(chart: alt.TopLevelLayerSpec, kind: FileKind, *, title: str = "") -> bytes:
    """Draw a chart as a file, in the light colors.

    Parameters
    ----------
    chart
        From ``reports.charts``.
    kind
        As :data:`FileKind` has them.
    title
        Written above it.

    Returns
    -------
    bytes
        The file's content.
    """
    spec = chart_spec(chart)
    spec |= {"width": FILE_WIDTH, "config": theme.chart_config()}
    spec["config"]["background"] = theme.ink("slip")
    spec["padding"] = 18
    if title:
        spec["title"] = {
            "text": title,
            "anchor": "start",
            "fontSize": 16,
            "color": theme.ink("ink"),
            "offset": 14,
        }
    text = theme.fixed_colors(json.dumps(spec))
    if kind == "png":
        return bytes(vl_convert.vegalite_to_png(text, scale=2))
    if kind == "svg":
        return str(vl_convert.vegalite_to_svg(text)).encode("utf-8")
    return bytes(vl_convert.vegalite_to_pdf(text))


def figure_files(figures: Sequence[Figure], kinds: Sequence[FileKind]) -> dict[str, bytes]:
    """Draw every figure that has a chart as files, by file name."""
    return {
        f"{figure.key}.{kind}": render_chart(figure.chart, kind, title=figure.title)
        for figure in figures
        if figure.chart is not None
        for kind in kinds
    }


def render_page(
    template: str,
    page: Page,
    *,
    title: str,
    figures: Sequence[Figure] = (),
    extra_scripts: Sequence[str] = (),
    **context: Any,
) -> str:
    """Fill a template with figures and everything else it asks for.

    Parameters
    ----------
    template
        File name in ``reports/templates``.
    page
        What it is headed and signed with.
    title
        Of the browser's tab.
    figures
        Reached from the template by key.
    extra_scripts
        File names in ``reports/templates`` of scripts that this page has besides, in order.
    **context
        What the template asks for.

    Returns
    -------
    str
        One HTML document that needs nothing else.
    """
    specs = {figure.key: chart_spec(figure.chart) for figure in figures if figure.chart is not None}
    scripts = (
        *([chart_bundle()] if specs else []),
        *(page_script(name) for name in extra_scripts),
        page_script(),
    )
    return (
        environment()
        .get_template(template)
        .render(
            title=title,
            figures={figure.key: figure for figure in figures},
            specs=specs,
            chart_config=theme.chart_config() if specs else {},
            scripts=[Markup(script) for script in scripts],
            script_policy=" ".join(script_hash(script) for script in scripts),
            styles=Markup(styles()),
            cautions=CAUTIONS,
            store_version=page.store_version,
            generated_at=page.generated_at,
            **{"warnings": page.warnings, **context},
        )
    )


@lru_cache(maxsize=1)
def styles() -> str:
    """Return the page's styles, colors first."""
    text = resources.files("reports").joinpath("templates/page.css").read_text(encoding="utf-8")
    return theme.css_properties() + text


@lru_cache(maxsize=1)
def environment() -> jinja2.Environment:
    """Make the template environment: autoescape on, unknown names an error."""
    made = jinja2.Environment(
        loader=jinja2.PackageLoader("reports", "templates"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        bytecode_cache=KeptTemplates(),
    )
    made.filters |= {
        "seconds": numbers.seconds,
        "thousandths": numbers.thousandths,
        "fixed": numbers.fixed,
        "interval": numbers.interval,
        "percent": numbers.percent,
        "short_day": numbers.short_day,
        "long_day": numbers.long_day,
        "capital": words.capital,
        "listed": words.listed,
        "plain": words.plain,
        "whole_dates": whole_dates,
        "data": as_data,
        "moment": numbers.moment,
    }
    made.globals["counted"] = numbers.of
    made.globals["glyph"] = glyph
    return made


def whole_dates(text: str) -> Markup:
    """Keep each date of a title on one line."""
    return Markup(re.sub(r"\d{4}-\d{2}-\d{2}", r'<span class="whole">\g<0></span>', escape(text)))


GLYPHS: Mapping[str, str] = {
    "moved": '<path class="g-fill" d="M7 1 13 7 7 13 1 7Z"/>',
    "likely": '<path class="g-line" d="M7 1 13 7 7 13 1 7Z"/>',
    "no_sign": '<circle class="g-line" cx="7" cy="7" r="5"/>',
    "inseparable": '<circle class="g-line" cx="5" cy="7" r="4"/><circle class="g-line" cx="9" cy="7" r="4"/>',
    "nothing": '<path class="g-line" d="M2 7H12"/>',
    "run": '<circle class="g-ink" cx="7" cy="7" r="4.5"/>',
    "spun": '<path class="g-slower" d="M7 2 13 12H1Z"/>',
    "bogged": '<path class="g-margin" d="M7 12 13 2H1Z"/>',
    "hollow": '<circle class="g-line" cx="7" cy="7" r="4.5"/>',
    "flag": '<path class="g-slower" d="M7 1 13 7 7 13 1 7Z"/>',
    "tick": '<path class="g-bar" d="M7 1V13"/>',
    "typical": '<path class="g-typical" d="M7 1V13"/>',
    "band": '<rect class="g-wash" x="0" y="3" width="14" height="8"/>',
    "unseen": '<rect class="g-shade" x="0" y="3" width="14" height="8"/>',
    "levers": '<rect class="g-levers" x="0" y="3" width="14" height="8"/>',
    "engine": '<path class="g-engine" d="M0 7H14"/>',
    "edge": '<path class="g-edge" d="M7 2 12 7 7 12 2 7Z"/>',
    "advised": '<rect class="g-line g-advised" x="2" y="2" width="10" height="10"/>',
    "hatch": '<rect width="14" height="14" fill="url(#never-tried)"/>',
    "line": '<path class="g-quicker" d="M0 7H14"/>',
    "dash": '<path class="g-dash" d="M0 7H14"/>',
    "left": '<path class="g-fill" d="M2 7 12 1V13Z"/>',
    "diamond": '<path class="g-marginfill" d="M7 1 13 7 7 13 1 7Z"/>',
    "dot": '<circle class="g-fill" cx="7" cy="7" r="5"/>',
    "center": '<path class="g-fill" d="M7 1 13 7 7 13 1 7Z"/>',
}


def glyph(name: str) -> Markup:
    """Draw a small mark beside words; screen readers hear the words."""
    return Markup(
        f'<svg class="glyph" viewBox="0 0 14 14" aria-hidden="true" focusable="false">{GLYPHS[name]}</svg>'
    )
