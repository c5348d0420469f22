"""Numbers written as so many parts or multiples of a unit: ``weights in tenths of a gram``, ``rpm x100``."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache

from pipeline.garage.spelling import folded
from pipeline.ingest.recognise.profile import number_of
from pipeline.ingest.recognise.vocabulary import SAYS_IT, SPEEDS, SPLITS, Meaning

LEAST_OF_ANY = 0.01
_PARTS: Mapping[float, str] = {
    100.0: r"hundreds|hunderten?|centaines|cient[oa]s|centenares|centinaia|centenas|hundratal|setk\w*"
    r"|honderd(?:en|tallen)|sadoissa|сотнях|сотні"
    r"|stovkách|stotinama|stoticah|százasával|sute|sadades|simtos|šimtais|yüzlük|εκατοντάδες|ratusan",
    1000.0: r"thousands|tausende?n?|milliers|miles|migliaia|milhares|tusental|tysi[ąa]cach"
    r"|duizend(?:en|tallen)|tuhansissa|тысячах|тисячах"
    r"|tisících|tisućama|hiljadama|tisočih|ezresével|mii|tuhandetes|tūkstošos|tūkstančiais|χιλιάδες|ribuan",
    0.001: r"thousandths?|milli[eè]mes?|tausendstel\w*|mil[ée]sim[ao]s?|millesimi|tus[ei]n\w*del\w*"
    r"|duizendste\w*|tysi[eę]czn\w*|tisícin\w*|tuhannesos\w*|ezred\w*|тысячн\w*|тисячн\w*"
    r"|tisućin\w*|hiljadit\w*|tisočin\w*|miimi\w*|tuhandik\w*|tūkstošda\w*|tūkstantos\w*|binde|χιλιοστ\w*|mil[èe]sim\w*",
    0.01: r"hundredths?|centi[eè]mes?|hundertstel\w*|cent[ée]sim[ao]s?|centesimi|hundra\w*del\w*"
    r"|hundrede?del\w*|honderdste\w*|setn\w*|sadasos\w*|század\w*|сотых|сотые|соті|сотих"
    r"|stotin[ae]|stotink\w*|sutimi\w*|sajandik\w*|simtda\w*|šimtosios|yüzde|εκατοστ\w*|cent[èe]sim\w*|honderste\w*",
    0.1: r"tenths?|dixi[eè]mes?|zehntel\w*|d[ée]cim[ao]s?|decimi"
    r"|tion?de?l\w*|tidel\w*|tiendede?l\w*|tiende\w*"
    r"|dziesi[ąa]t\w*|desetin\w*|kymmenesos\w*|tized\w*|десят\w*"
    r"|zecimi\w*|d[èe]cimes|kümnendik\w*|desmitda\w*|dešimtos\w*|onda|δέκατ\w*|tiendes|persepuluh\w*",
    0.25: r"quarters?|quarts?|viertel\w*|cuart[ao]s?|quart[oi]s?|kvarts\w*|kvarte\w*"
    r"|fj[äe]r\w*de?l\w*|kwarte\w*|ćwier\w*|neljännes\w*|neljäsos\w*|negyed\w*|четверт\w*|чверт\w*"
    r"|čtvrt\w*|štvrt\w*|četvrt\w*|četrt\w*|sfert\w*|veerand\w*|ceturtda\w*|ketvirt\w*|çeyrek\w*|τέταρτ\w*|seperempat"
    r"|chwarter\w*|laurden\w*|robo|四分の一|四分之一|רבע\w*|ربع",
    0.5: r"halves|half|demis?|halbe\w*|medi[ao]s?|mei[ao]s?|mezz[io]|halv\w*|половин\w*"
    r"|půl\w*|polovin\w*|pół\w*|połow\w*|pola|fél\w*|puolik\w*|puolia|poolik\w*|jumăt\w*|mitges|pus\w*|yarım|μισ[άόή]|setengah"
    r"|hanner\w*|erdi\w*|nusu|半分|半|חצי|نصف|نیم",
}  # fmt: skip
_SECOND = (
    r"(?:se[ck]\w*|segund\w*|sekun\w*|секунд\w*|másodp\w*|mp|saniye\w*|δευτερ\w*|secund\w*|segon\w*|detik"
    r"|eiliad\w*|秒|초|שני\w+|ثانية|ثانیه|s)\b"
)
_TURN = (
    r"(?:turns?|tours?|umdr\w*|vueltas?|voltas?|giri|giro|varv|omdr\w*|slag\w*|kierr\w*|obr\w*|ot|otoč\w*"
    r"|оборот\w*|об|оберт\w*|revs?|pöör\w*|ford\w*|hring\w*|okr\w*|ot[aá][cč]\w*|vrt\w*|στροφ\w*"
    r"|draai\w*|omwentel\w*|omdrejn\w*|rota[tț]i\w*|ture|tura|apgriez\w*|apsisuk\w*|putaran|pusingan|tur|tro|obrt\w*|okr\w*|vuelt\w*|volt\w*|birak?|itzuli\w*|回転|巻き|圈|바퀴|סיבוב\w*|لفة|لفات|دور)\b"
)
_GRAM = r"(?:gram\w*|грам\w*|γραμμ\w*|グラム|그램|克|גרם|غرام|جرام|گرم|г|g)\b"
_UNIT = rf"(?:{_SECOND}|{_TURN}|{_GRAM}|degrees?\b|inch\w*\b)"
_OF = r"[\s-]*(?:of\s+|de\s+|d['’]|di\s+|af\s+|av\s+|van\s+|einer?s?\s+|an?\s+|una?\s+|um\w?\s+|en\s+)*"
IN_PARTS = re.compile(
    rf"(?i)(?P<what>[^.,;:()\[\]\d]{{2,40}}?)\W+(?:(?:are|is|sont|son|sind|est)\s+)?(?:all\s+)?"
    rf"(?:(?:counted|written|given|noted|kept|put)\s+)?"
    rf"(?:in|en|em|i|w|v|op|as|al?s|u|în|ca|kao|jako|σε|mewn|dalam|в|у|=|:)\s+(?P<part>{'|'.join(_PARTS.values())})(?:{_OF}(?P<unit>{_UNIT})|(?=\W*$|\s*[.,;)]))"
)
_TIMES = re.compile(r"(?i)(?<![\w.])[x×*]\s?(10{1,3})(?!\d)|(?<!\w)(?:in\s+)?(hundreds|thousands)\b")
_OVER = re.compile(
    rf"(?i)(?<![\d.])1\s?/\s?(?:(1000|100|10)(?:ths?)?\s*(?:of\s+an?\s+)?(?={_UNIT})|(2|4|8)\s*(?={_TURN}))"
)
_QUARTERS = re.compile(r"(?i)qtrs|quarters|quarter[- ]?turns|quarts|[cq]uartos|quarti")
_A_PART = tuple(
    (factor, re.compile(rf"(?i)(?<!\w)(?:{words})(?:{_OF}{_UNIT}|\W*$)")) for factor, words in _PARTS.items()
)


_SHOWN = r"(?P<typed>\d+)\s*=\s*(?P<meant>\d+ \d/\d+|\d*[.,]?\d+)(?![\w/])"
EXAMPLE = re.compile(rf"(?<![\w.,]){_SHOWN}")
"""What shows by what numbers are to be multiplied: ``58 = 5800``."""


def factor_shown(text: str, code: str = "") -> float:
    """Give by what numbers are to be multiplied as an example shows, behind a code or alone; 0 without one.

    Examples
    --------
    >>> factor_shown("hundreds (58 = 5800)"), factor_shown("S turns (S9 = 2 1/4)", "S"), factor_shown("rpm")
    (100.0, 0.25, 0.0)
    """
    shown = re.search(rf"(?<![\w.,]){re.escape(code)}{_SHOWN}", text) if code else EXAMPLE.search(text)
    meant = number_of(shown["meant"]) if shown else None
    return meant[0] / float(shown["typed"]) if shown and meant and float(shown["typed"]) else 0.0


@cache
def scale_in(heading: str) -> float:
    """Give what the numbers under a heading are to be multiplied by; 1 where it says nothing of it.

    Examples
    --------
    >>> scale_in("RPM x100"), scale_in("weight (1/10 g)"), scale_in("Preload, quarters"), scale_in("1/4 mph")
    (100.0, 0.1, 0.25, 1.0)
    """
    if found := _TIMES.search(heading):
        return float(found[1]) if found[1] else (100.0 if found[2].casefold() == "hundreds" else 1000.0)
    if _QUARTERS.fullmatch(heading.strip()):
        return 0.25
    if found := _OVER.search(heading):
        return 1.0 / float(found[1] or found[2])
    return next(
        (factor for factor, pattern in _A_PART if pattern.search(heading) and " " in heading.strip()), 1.0
    )


def scales_told(words: str, meaning: Meaning) -> dict[str, float]:
    """Give by what the numbers of some columns are to be multiplied, as a title says.

    Parameters
    ----------
    words
        Lines of words above a table.
    meaning
        The likeliest meaning of words.

    Returns
    -------
    dict
        Canonical column -> factor; "times" are all times of a slip.
    """
    found: dict[str, float] = {}
    for told in IN_PARTS.finditer(words):
        factor = _factor(told["part"])
        for name in _of_unit(told["unit"] or "", factor) or _named(told["what"], meaning):
            found.setdefault(name, factor)
    return found


def words_told(title: str) -> dict[str, str]:
    """Give the words that a title says are written in parts of a unit that one column alone has.

    Examples
    --------
    >>> words_told("Spreng in quarters of a turn")
    {'spreng': 'preload_turns'}
    """
    found: dict[str, str] = {}
    for told in IN_PARTS.finditer(title):
        names = _of_unit(told["unit"], 1.0) if told["unit"] else ()
        if len(names) == 1:
            found[folded(told["what"])] = names[0]
    return found


def _of_unit(unit: str, factor: float) -> tuple[str, ...]:
    """Give the columns whose numbers come in such parts; without a word the smallest are of seconds."""
    if re.fullmatch(f"(?i){_TURN}", unit):
        return ("preload_turns",)
    if re.fullmatch(f"(?i){_GRAM}", unit):
        return ("counterweight_g",)
    is_time = re.fullmatch(f"(?i){_SECOND}", unit) is not None or (not unit and factor <= LEAST_OF_ANY)
    return (*SPLITS, "reaction_s") if is_time else ()


def _factor(part: str) -> float:
    return next(factor for factor, words in _PARTS.items() if re.fullmatch(rf"(?i){words}", part))


def _named(words: str, meaning: Meaning) -> tuple[str, ...]:
    """Give the columns that the last words before a scale name."""
    parts = words.split()
    for at in range(max(0, len(parts) - 3), len(parts)):
        name, likeness = meaning(" ".join(parts[at:]))
        if name == "time" or (name in SPLITS and likeness < SAYS_IT):
            return (*SPLITS, "reaction_s")
        if likeness >= SAYS_IT and not name.startswith("tick "):
            return SPEEDS if name in SPEEDS and not re.search(r"\d", words) else (name,)
    return ()


def without_scale(unit: str) -> str:
    """Leave off that a unit is a part or a multiple: ``rpm x 100``, ``1/4 turns``."""
    return _OVER.sub("", _TIMES.sub("", unit)).strip()


def scaled(text: str, factor: float) -> str:
    """Write a number out that was written in parts; any other text stays as it is.

    Examples
    --------
    >>> scaled("54", 0.1), scaled("x", 0.25)
    ('5.4', 'x')
    """
    found = number_of(text)
    if found is None or factor == 1.0:
        return text
    return f"{found[0] * factor:.6g} {found[1]}".strip()
