"""What a line of words tells with numbers in it: ``Clutch now 2 3/4 turns, 4 grams``."""

from __future__ import annotations

import re
from collections.abc import Sequence

from pipeline.ingest.clocks import IN_TEXT
from pipeline.ingest.pressure_words import kind_of_pressure
from pipeline.ingest.recognise.layout import SAYS_IT, Meaning
from pipeline.ingest.recognise.profile import looks
from pipeline.ingest.recognise.turns_in_words import turns_in_figures
from pipeline.ingest.recognise.units import SAME, as_unit, named_unit
from pipeline.ingest.recognise.vocabulary import AIR, SETTINGS, SPOKEN, UNITS
from pipeline.ingest.step_words import direction_in

TOLD = (*SETTINGS, *AIR, "wind_speed_mph", "track_temp_degf")
"""Columns that a line of words may tell."""
LAUNCH_RPM = (2500, 9900)
PRESSURES = ((22.0, 31.9), (700.0, 1080.0))
"""A bare number in these spans beside a temperature is the barometer's [inHg, hPa]."""
POINT_LOST = (2200.0, 3190.0)
"""A bare number in this span there is inches of mercury without their point: it will be asked about."""
DEGREES = (
    r"deg(?:rees?)?\.?|grad(?:er|en|i|os|us|ov|e)?\b|gra[du]+s?\b|degr[eé]s?\b|stop(?:ni|ňů|ně|njev|inja)\w*|astetta\b"
    r"|kraadi\b|stupň\w*|fok\b|градус\w*|βαθμ\w*|derece\b|gráð\w*|darjah\b|derajat\b|laipsni\w*|grād\w*|درجة|درجه|מעלות|度|도"
)
"""Degrees of any scale, as people write them."""
_NUMBER = re.compile(
    r"(?<![\w./:])(\d+\s+\d/\d{1,2}(?![/\d])|\d+/\d{1,2}(?![/\d])|[IlSB][.,]\d+|\d+[.,][IlSB](?!\w)|[\dOol]*[.,][\dOol]*\d[\dOol]*|\d[\dOol]*(?![\dOol]|/\d))(\s*[½¼¾])?\s*"
    rf"(turns?\b|trn?\b|t\b|grams?\b|gr?\b|rpm\b|revs\b|[^\W\d_]{{1,6}}\.?/min\b|psi\b|lbs?\b|#|°?\s?[fc]\b|(?:{DEGREES})\s?(?:[fc]\b)?|°|%|per\s?cent\b|mph\b|km/?h\b|mbar\b|mb\b|hpa\b|kpa\b|bar\b"
    r"|inhg\b|in\s?hg\b|inches\b|\")?",
    re.IGNORECASE,
)
_BY_UNIT = (
    (re.compile(r"(?i)turns?|trn?|t"), "preload_turns", ""),
    (re.compile(r"(?i)grams?|gr?"), "counterweight_g", ""),
    (re.compile(r"(?i)rpm|revs|.*/min"), "launch_rpm", ""),
    (re.compile(r"(?i)psi|lbs?|#|bar"), "tire_pressure_psi", "psi"),
    (re.compile(rf"(?i)°?\s?f|(?:{DEGREES})\s?f?|°"), "air_temp_degf", ""),
    (re.compile(rf"(?i)°?\s?c|(?:{DEGREES})\s?c"), "air_temp_degf", " C"),
    (re.compile(r"(?i)%|per\s?cent"), "humidity_pct", ""),
    (re.compile(r"(?i)mbar|mb|hpa"), "pressure_inhg", " hPa"),
    (re.compile(r"(?i)inhg|in\s?hg|inches|\""), "pressure_inhg", ""),
)
ONLY_OF = {"g": "counterweight_g", "rpm": "launch_rpm", "%": "humidity_pct", "inHg": "pressure_inhg"}
"""What a label with such a unit says, whatever its words."""
_IS_METRIC = re.compile(r"(?i)\d\s?(?:hpa|mbar|mb|kpa|km/?h|°?\s?c)\b")
_DEGREES = frozenset(name for name in TOLD if UNITS[name] == "degF")
_REVS = frozenset(
    ("revs", "rev", "toeren", "toert", "touren", "omw", "otáček", "otáčok", "обороты", "оборотов", "обертів")
)
_TURNS = frozenset(
    ("slag", "slagen", "slage", "draaie", "otočky", "otočení", "оборота", "оборотов", "обороти", "okreta")
)
"""Units of settings that nothing else is counted in."""
_YEAR = re.compile(r"20\d\d(?:/\d\d)?")
"""A title that speaks of starts, or of degrees, may have one; no engine leaves at so few turns."""
_BARE = re.compile(r"[-+]?\d+(?:[.,]\d+)?")
_NO_VALUE = re.compile(r"(?i)\b1/[48](?:th)?[- ]mile|\b\d{1,2}(?:st|nd|rd|th)\b")
_ASIDE = re.compile(r"(?<=\d)([^\d()]*)\(([^()]*\d[^()]*)\)")
"""Numbers in brackets behind a number and its unit."""
_POINT = re.compile(r"(?i)[nesw]{1,3}")
"""Where the wind comes from, between its word and its speed: ``wind NW 6``."""


def told_by(cells: Sequence[str], meaning: Meaning) -> dict[str, str]:
    """Read the settings or the air that a line of words tells.

    Parameters
    ----------
    cells
        Of the line.
    meaning
        The likeliest meaning of words beside a number.

    Returns
    -------
    dict
        Canonical column -> text to read, ``time`` and ``pressure_kind`` among them; empty unless every number
        of the line is one of these.
    """
    text = _without_asides(turns_in_figures(", ".join(text for text in cells if text)), meaning)
    found: dict[str, str] = {}
    if clock := IN_TEXT.search(text):
        found["time"] = clock[1].strip()
        text = text[: clock.start()] + text[clock.end() :]
    text = _NO_VALUE.sub(" ", text)
    before, bare = 0, []
    for number in _NUMBER.finditer(text):
        words, before = text[before : number.start()], number.end()
        name, unit = _named(words, number, meaning)
        if not number[3] and (own := _by_word_behind(number[1], text[number.end() :])):
            name = own
        name = _of_an_engine(name, number[1])
        is_year = _YEAR.fullmatch(number[1]) and not (name == "launch_rpm" and number[3])
        if name in found or (name and is_year):
            return {}
        if name:
            is_step = name in SETTINGS and not is_whole_rpm(number[1])
            sign = direction_in(words, text[number.end() :]) if is_step else ""
            found[name] = sign + " ".join(filter(None, (number[1].strip(), (number[2] or "").strip()))) + unit
        else:
            bare.append(number[1])
    if not _placed(bare, found) or not set(found) & set(TOLD):
        return {}
    pressure = found.get("pressure_inhg", "")
    if _BARE.fullmatch(pressure) and PRESSURES[1][0] <= float(pressure.replace(",", ".")) <= PRESSURES[1][1]:
        found["pressure_inhg"] = f"{pressure} hPa"
    if _IS_METRIC.search(text) or "hPa" in found.get("pressure_inhg", ""):
        found |= {
            name: f"{found[name]} C" for name in found.keys() & _DEGREES if _BARE.fullmatch(found[name])
        }
    if "pressure_inhg" in found and (kind := kind_of_pressure(text)):
        found["pressure_kind"] = kind
    return found


def _without_asides(text: str, meaning: Meaning) -> str:
    """Leave out numbers in brackets that say nothing by themselves, such as what was set before."""
    return _ASIDE.sub(lambda aside: aside[0] if told_by([aside[2]], meaning) else aside[1], text)


def is_whole_rpm(number: str) -> bool:
    """Tell whether a number is as large as a launch rpm itself, and so no step of one."""
    return re.fullmatch(r"\d{4,5}", number.strip()) is not None


def _of_an_engine(name: str, number: str) -> str:
    """Take thousands of turns for those of the engine: many a tongue has one word for both."""
    whole = re.match(r"\d{4}", number.strip())
    return "launch_rpm" if name == "preload_turns" and whole and int(whole[0]) >= LAUNCH_RPM[0] else name


def by_unit(unit: str) -> str:
    """Give the column that a unit alone tells, in plain words; empty where it tells none."""
    found = next((name for pattern, name, _ in _BY_UNIT if unit and pattern.fullmatch(unit)), "")
    return SPOKEN.get(found, "")


def paired(cells: Sequence[str], meaning: Meaning) -> dict[str, str]:
    """Read a line of labels with a value beside each: ``Humidity %``, ``57``. ``Air``, ``9:45`` is a time.

    A word for the whole, or a mark, may stand before the first label: ``Weather:``, ``→``.

    Returns
    -------
    dict
        As of :func:`told_by`; empty for any other line.
    """
    filled = [at for at, text in enumerate(cells) if text]
    if len(filled) % 2 and len(filled) > 1 and _is_lead(cells[filled[0]], cells[filled[1]]):
        filled = filled[1:]
    if not filled or len(filled) % 2 or any(b != a + 1 for a, b in _by_twos(filled)):
        return {}
    found: dict[str, str] = {}
    for at, beside in _by_twos(filled):
        own = _pair(cells[at].rstrip(": "), cells[beside], meaning)
        if not own or set(own) & set(found):
            return {}
        found |= own
    return found


def paired_among(cells: Sequence[str], meaning: Meaning) -> tuple[dict[str, str], list[str]]:
    """Read the labels of a line that have a value beside them, and give the cells that are neither."""
    found: dict[str, str] = {}
    rest: list[str] = []
    at = 0
    while at < len(cells):
        beside = cells[at + 1] if at + 1 < len(cells) else ""
        own = _pair(cells[at].rstrip(": "), beside, meaning) if cells[at] and beside else {}
        is_new = bool(own) and not set(own) & set(found)
        found |= own if is_new else {}
        rest += [cells[at]] if cells[at] and not is_new else []
        at += 2 if is_new else 1
    return found, rest


def _by_twos(places: Sequence[int]) -> list[tuple[int, int]]:
    """Give places two by two."""
    return list(zip(places[::2], places[1::2], strict=True))


def _is_lead(text: str, after: str) -> bool:
    """Tell whether a cell is a mark, or a word for all that follows it."""
    return (
        not looks(text).number and (text.endswith(":") or not re.search(r"\w", text)) and not _is_value(after)
    )


def _is_value(text: str) -> bool:
    looked = looks(text)
    return looked.number is not None or looked.is_clock


def _pair(label: str, value: str, meaning: Meaning) -> dict[str, str]:
    looked = looks(value)
    if re.search(r"[^\W\d_]{2}", label) is None or looks(label).number is not None:
        return {}
    if looked.is_clock:
        return {"time": value}
    bare = re.sub(r"\s*[(\[].*?[)\]]", "", label)
    ways = [label, bare, *([f"{bare} temp"] if named_unit(label, "degF") else [])]
    name, likeness = max((meaning(way) for way in ways), key=lambda said: (said[0] in TOLD, said[1]))
    if name == "venue" and looked.number is not None:
        name, likeness = meaning(f"{bare} temp")  # a track beside the air is no strip's name
    if likeness < SAYS_IT:
        name = next((own for unit, own in ONLY_OF.items() if named_unit(label, unit)), "")
    if looked.number is None or name not in TOLD:
        return {}
    name = _of_an_engine(name, value)
    unit = named_unit(label, UNITS[name]) if not looked.number[1] else None
    found = {name: f"{value} {unit[0]}" if unit and unit[1] != SAME else value}
    kind = kind_of_pressure(label) if name == "pressure_inhg" else ""
    return found | ({"pressure_kind": kind} if kind else {})


def _named(words: str, number: re.Match[str], meaning: Meaning) -> tuple[str, str]:
    """Give the column of a number by its unit, else by the words before it."""
    is_warm = re.match(rf"(?i)°?\s?[fc]\b|{DEGREES}|°", number[3] or "") is not None
    named = (_by_words(f"{words} temp", meaning) if is_warm else "") or _by_words(words, meaning)
    if unit := number[3]:
        for pattern, name, kept in _BY_UNIT:
            if pattern.fullmatch(unit.strip()):
                is_air = name == "air_temp_degf" and named in {
                    "track_temp_degf",
                    "dew_point_degf",
                    "wet_bulb_degf",
                }
                return (named if is_air else name), (
                    f" {unit.strip()}" if kept == "psi" and unit.strip() == "bar" else kept.replace("psi", "")
                )
        return named, f" {unit.strip()}"
    beside = re.search(r"(?i)([^\W\d_]{3,})(?:\s+(?:at|is|was|now|stood|about))*[\s:=]*$", words)
    if not named and beside and _is_the_track(beside[1], meaning):
        return "track_temp_degf", ""  # a track beside a number is no strip's name
    return named, ""


def _by_word_behind(number: str, after: str) -> str:
    """Give the setting whose unit is the word behind a number: turns and rpm share theirs in many tongues."""
    word = re.match(r"\s?([^\W\d_]{2,12})(?![\w:=]|\s?[:=])", after)
    if word is None:
        return ""
    is_many = re.fullmatch(r"\d{4,5}", number) is not None
    if is_many:
        is_rpm = as_unit(word[1], "rpm") or as_unit(word[1], "turn") or word[1].casefold() in _REVS
        return "launch_rpm" if is_rpm else ""
    if as_unit(word[1], "turn") or word[1].casefold() in _TURNS:
        return "preload_turns"
    return "counterweight_g" if as_unit(word[1], "g") else ""


def _is_the_track(word: str, meaning: Meaning) -> bool:
    return meaning(word)[0] == "venue" or meaning(f"{word} temp") == ("track_temp_degf", 1.0)


def _by_words(words: str, meaning: Meaning) -> str:
    """Give what the last words before a number say, if it is one of the told columns."""
    parts = re.findall(r"[^\W\d_]+", re.split(r"[,;]", words.rstrip(" ,:=-"))[-1])
    parts = [part for part in parts if not _POINT.fullmatch(part)]
    for at in range(max(len(parts) - 3, 0), len(parts)):
        name, likeness = meaning(" ".join(parts[at:]))
        if likeness >= SAYS_IT and name in TOLD:
            return name
    alone = [name for name, likeness in map(meaning, parts) if likeness >= SAYS_IT and name in TOLD]
    return alone[-1] if alone else ""


def _placed(bare: Sequence[str], found: dict[str, str]) -> bool:
    """Place numbers with neither unit nor word by their size beside the others; False when one stays over."""
    for text in bare:
        value = float(text.replace(",", ".")) if re.fullmatch(r"\d*[.,]?\d+", text) else 0.0
        has_setting, has_air = set(found) & set(SETTINGS), set(found) & set(AIR)
        if has_setting and LAUNCH_RPM[0] <= value <= LAUNCH_RPM[1] and "launch_rpm" not in found:
            found["launch_rpm"] = text
        elif (
            has_air and "pressure_inhg" not in found and any(low <= value <= high for low, high in PRESSURES)
        ):
            found["pressure_inhg"] = text if value < PRESSURES[1][0] else f"{text} hPa"
        elif (
            has_air
            and not has_setting
            and "pressure_inhg" not in found
            and POINT_LOST[0] <= value <= POINT_LOST[1]
        ):
            found["pressure_inhg"] = text
        else:
            return False
    return True
