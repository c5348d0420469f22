"""Contrast by the formula of WCAG 2.1 (relative luminance, success criteria 1.4.3 and 1.4.11) [memory]."""

import itertools

import pytest

from reports import theme

AA_TEXT, AA_MARKS = 4.5, 3.0  # least contrast of words, and of marks that carry meaning
TEXT = ("ink", "soft", "margin", "quicker", "slower", "quiet")
GROUNDS = ("paper", "slip", "band")
MARKS = ("quicker", "slower", "quiet", "margin", "focus")
INKS = {color.name: color for color in theme.INKS}


def luminance(color: str) -> float:
    parts = [int(color[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("mode", ["light", "dark"])
@pytest.mark.parametrize(("words", "ground"), list(itertools.product(TEXT, GROUNDS)))
def test_words_can_be_read_on_every_ground(words: str, ground: str, mode: str) -> None:
    assert contrast(getattr(INKS[words], mode), getattr(INKS[ground], mode)) >= AA_TEXT


@pytest.mark.parametrize("mode", ["light", "dark"])
@pytest.mark.parametrize("mark", MARKS)
def test_marks_stand_out(mark: str, mode: str) -> None:
    assert contrast(getattr(INKS[mark], mode), getattr(INKS["slip"], mode)) >= AA_MARKS


# Linear-light matrices of full protanopia and deuteranopia, Vienot, Brettel and Mollon 1999 [memory].
PROTAN = ((0.1124, 0.8876, 0.0), (0.1124, 0.8876, 0.0), (0.0040, -0.0040, 1.0))
DEUTAN = ((0.2927, 0.7073, 0.0), (0.2927, 0.7073, 0.0), (-0.0223, 0.0223, 1.0))
APART = 0.25  # distance in linear RGB at which quicker and slower cannot be taken for each other


@pytest.mark.parametrize("mode", ["light", "dark"])
@pytest.mark.parametrize("matrix", [PROTAN, DEUTAN], ids=["protan", "deutan"])
def test_quicker_and_slower_stay_apart_for_the_color_blind(matrix: tuple, mode: str) -> None:
    def seen(color: str) -> list[float]:
        linear = [(int(color[place : place + 2], 16) / 255) ** 2.2 for place in (1, 3, 5)]
        return [sum(weight * part for weight, part in zip(row, linear, strict=True)) for row in matrix]

    one, other = seen(getattr(INKS["quicker"], mode)), seen(getattr(INKS["slower"], mode))
    assert sum((a - b) ** 2 for a, b in zip(one, other, strict=True)) ** 0.5 > APART


def test_an_unknown_color_is_refused_with_the_known_ones() -> None:
    with pytest.raises(KeyError, match=r"no color 'chartreuse'.*quicker"):
        theme.ink("chartreuse")


def test_files_made_outside_a_browser_hold_plain_colors() -> None:
    text = theme.fixed_colors(f'{{"color":"{theme.ink("quicker")}","fill":"{theme.HATCH}"}}')
    assert "var(" not in text
    assert "url(" not in text
    assert INKS["quicker"].light in text


def test_printed_paper_is_white_whatever_the_screen() -> None:
    css = theme.css_properties()
    assert css.index("prefers-color-scheme:dark") < css.index("@media print")
    assert "--paper:#fff;" in css.split("@media print")[1]
