"""The one look: colors for light and dark, type, and the settings every chart shares.

Colors are named for their job and live in CSS custom properties. A chart is drawn as SVG and
names a property (``var(--quicker)``), so it follows dark, light and print without being drawn
again; ``fixed_colors`` puts the light values in for files made outside a browser.

The hues were chosen in pairs that stay apart for the common color blindnesses (a blue against an
orange-brown, never red against green), and every one of them is also carried by a shape, a
pattern, a sign or a word.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Ink:
    """One named color: what it is for, and its value on light and on dark paper."""

    name: str
    light: str
    dark: str
    job: str


INKS: tuple[Ink, ...] = (
    Ink("desk", "#e7e3d6", "#0d1114", "what the sheet lies on"),
    Ink("paper", "#faf7ee", "#151b1f", "the sheet"),
    Ink("slip", "#fffefb", "#1e262b", "timeslips and cards on the sheet"),
    Ink("band", "#eaf0e3", "#1b2526", "every second ledger row"),
    Ink("ink", "#1a2230", "#ece8db", "words and numbers"),
    Ink("soft", "#4a5361", "#aab3b4", "second-rank words"),
    Ink("rule", "#c9c4b1", "#3a454b", "hairlines"),
    Ink("grid", "#e2ddcb", "#2e393e", "chart grid"),
    Ink("margin", "#a8433a", "#d0776b", "the ledger's margin line and section numbers"),
    Ink("quicker", "#1a5fa6", "#79b4f2", "less time"),
    Ink("slower", "#a8480b", "#f0a066", "more time"),
    Ink("quiet", "#5f6772", "#98a2a6", "no sign either way"),
    Ink("wash", "#b9cde2", "#2c4660", "bands and intervals"),
    Ink("shade", "#d9d3bf", "#3b464b", "never tried"),
    Ink("focus", "#6b3fa0", "#c4a5f5", "keyboard focus"),
)

SANS = "'Avenir Next', 'Segoe UI', 'Helvetica Neue', 'Liberation Sans', Arial, sans-serif"
SERIF = "'Iowan Old Style', 'Palatino Linotype', Palatino, 'TeX Gyre Pagella', 'Book Antiqua', Georgia, serif"
MONO = "ui-monospace, 'SF Mono', 'Cascadia Mono', Consolas, 'Liberation Mono', 'DejaVu Sans Mono', monospace"

HATCH = "url(#never-tried)"
"""A fill drawn by a pattern that every page carries; static files get a plain shade instead."""

VERDICT_SHAPES: dict[str, str] = {
    "moved": "diamond",
    "likely": "diamond",  # drawn hollow
    "no_sign": "circle",
    # Two rings through each other: it cannot be told from its partner.
    "inseparable": (
        "M-1,0A0.6,0.6,0,1,0,0.2,0A0.6,0.6,0,1,0,-1,0Z M-0.2,0A0.6,0.6,0,1,0,1,0A0.6,0.6,0,1,0,-0.2,0Z"
    ),
}

OUTCOME_SHAPES: dict[str, str] = {"spun": "triangle-up", "bogged": "triangle-down", "other": "circle"}

ROW_STEP = 30
"""Height of one row of a chart that reads like a ledger. [px]"""


def ink(name: str) -> str:
    """Name a color the way charts and CSS use it, such as ``var(--quicker)``."""
    if all(color.name != name for color in INKS):
        raise KeyError(f"The theme has no color {name!r}; it has {', '.join(c.name for c in INKS)}.")
    return f"var(--{name})"


def css_properties() -> str:
    """Write the custom properties: light first, dark where asked for, light again on printed paper."""
    light = "".join(f"--{color.name}:{color.light};" for color in INKS)
    dark = "".join(f"--{color.name}:{color.dark};" for color in INKS)
    fonts = f"--sans:{SANS};--serif:{SERIF};--mono:{MONO};"
    printed = light.replace("--desk:#e7e3d6;", "--desk:#fff;").replace("--paper:#faf7ee;", "--paper:#fff;")
    return (
        f":root{{color-scheme:light dark;{fonts}{light}}}"
        f"@media (prefers-color-scheme:dark){{:root{{{dark}}}}}"
        f"@media print{{:root{{color-scheme:light;{printed}}}}}"
    )


def fixed_colors(text: str) -> str:
    """Replace every named color in a chart's JSON by its light value, and the hatch by a shade."""
    light = {color.name: color.light for color in INKS}
    text = text.replace(HATCH, light["shade"])
    return re.sub(r"var\(--(\w+)\)", lambda found: light[found.group(1)], text)


def chart_config() -> dict[str, Any]:
    """Return the Vega-Lite configuration that all charts share."""
    return {
        "background": "transparent",
        "font": SANS,
        "aria": False,  # the figure carries one spoken sentence and the same numbers as a table
        "padding": {"left": 2, "right": 6, "top": 6, "bottom": 2},
        "view": {"stroke": None, "fill": None},
        "axis": {
            "labelColor": ink("soft"),
            "titleColor": ink("soft"),
            "domainColor": ink("rule"),
            "tickColor": ink("rule"),
            "gridColor": ink("grid"),
            "labelFont": SANS,
            "labelFontSize": 12,
            "titleFontSize": 12,
            "titleFontWeight": "normal",
            "titlePadding": 10,
            "labelPadding": 6,
            "labelLimit": 172,
            "tickSize": 4,
        },
        "axisX": {"labelFont": MONO, "labelFontSize": 11, "labelFlush": False, "tickCount": 6},
        "text": {"color": ink("ink"), "font": SANS, "fontSize": 12},
        "rule": {"color": ink("soft")},
        "point": {"size": 62, "filled": True, "opacity": 1},
        "legend": {
            "labelColor": ink("ink"),
            "titleColor": ink("soft"),
            "labelFontSize": 12,
            "titleFontSize": 12,
            "titleFontWeight": "normal",
            "orient": "top",
            "symbolSize": 70,
            "labelLimit": 220,
        },
    }
