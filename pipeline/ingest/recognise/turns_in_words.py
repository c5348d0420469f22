"""Turns of a screw told in words: ``three and a half turns``, ``2 giri e mezzo``, ``a quarter turn``."""

from __future__ import annotations

import re

_NUMBERS = (
    "one ein eine einer un une una uno um uma en ett een jeden jedna jedno yksi unu",
    "two zwei deux dos due dois duas två to twee dwa dva dvě dve kaksi doi două",
    "three drei trois tres tre três drie trzy tři tri kolme trei",
    "four vier quatre cuatro quattro quatro fyra fire cztery čtyři štyri neljä patru",
    "five fünf cinq cinco cinque fem vijf pięć pět päť viisi cinci",
    "six sechs seis sei sex seks zes sześć šest šesť kuusi șase",
    "seven sieben sept siete sette sete sju syv zeven siedem sedm sedem seitsemän șapte",
    "eight acht huit ocho otto oito åtta åtte otte osiem osm osem kahdeksan opt",
)
"""One to eight, a tongue each; a word that is a number in one and something else in another is left out."""
_FIGURES = {word: str(number) for number, words in enumerate(_NUMBERS, 1) for word in words.split()}
_NUMBER = rf"(?:{'|'.join(sorted(_FIGURES, key=len, reverse=True))}|\d{{1,2}})"
_TURN = (
    r"(?:turns?|tours?|umdreh\w*|vueltas?|voltas?|gir[io]|varv|slag\w*|omdr\w*|omgang\w*|draai\w*|obrot\w*"
    r"|obrót|otáč\w*|otoč\w*|kierro\w*|tur[eă]?|rota[tț]i\w*)\b"
)
_AND = r"(?:and|und|et|y|e|og|och|en|i|a|ja|și|si)"
_ONE = r"(?:(?:an?|one|en|ett?|een|eine?[rn]?|une?|una|uno|um|uma|o)\s+)?"
_THREE_QUARTERS = (
    r"(?:three|3)[\s-]+quarters?|drei\s?viertel|trois\s+quarts|tres\s+cuart[oa]s|tre\s+quarti|três\s+quartos"
    r"|tre\s+kvarts?|drie\s?kwart|trzy\s+czwarte|tři\s+čtvrtě|trei\s+sferturi"
)
_QUARTER = r"quarters?|viertel|quarts?|cuart[oa]|quart[oi]|kvarts?|kwart|ćwierć|čtvrt\w*|neljännes|sfert"
_SEVERAL = re.compile(r"(?i)quarters|quarts|[cq]uart[oa]s|quarti")
_HALF = r"half|halv[ae]?|halbe?[rn]?|demie?|medi[ao]|mei[ao]|mezz[oa]|pół|půl|puoli|jumătate"
_SHARE = rf"(?:(?P<three>{_THREE_QUARTERS})|(?P<one>{_QUARTER})|(?P<half>{_HALF}))\b"
_OF = r"\s*(?:(?:of\s+)?an?\s+|de\s+|di\s+)?"
_WITH_SHARE = re.compile(
    rf"(?i)(?<![\w/.,])(?P<whole>{_NUMBER})\s+(?:(?P<before>{_TURN})\s+)?{_AND}\s+{_ONE}{_SHARE}"
    rf"(?:{_OF}(?P<behind>{_TURN}))?"
)
_IN_ONE_WORD = re.compile(
    rf"(?i)(?<![\w/.,])(?P<whole>{_NUMBER})(?:ein)?(?P<share>halb|viertel|dreiviertel)\s+(?P<turn>{_TURN})"
)
_ALONE = re.compile(rf"(?i)(?<![\w/])(?<!\bin ){_ONE}{_SHARE}{_OF}(?P<turn>{_TURN})")
_WHOLE = re.compile(rf"(?i)(?<![\w/.,])(?P<whole>{_NUMBER})\s+(?P<turn>{_TURN})")
_SOME_TURN = re.compile(rf"(?i)\b{_TURN}")


def turns_in_figures(text: str) -> str:
    """Write turns that are told in words in figures; anything else stays as it is.

    Examples
    --------
    >>> turns_in_figures("three and a half turns of preload"), turns_in_figures("2 giri e mezzo")
    ('3 1/2 turns of preload', '2 1/2 giri')
    >>> turns_in_figures("a quarter turn less"), turns_in_figures("zweieinhalb Umdrehungen")
    ('1/4 turn less', '2 1/2 Umdrehungen')
    """
    if _SOME_TURN.search(text) is None:
        return text
    text = _IN_ONE_WORD.sub(_compound, text)
    text = _ALONE.sub(_alone, _WITH_SHARE.sub(_with_share, text))
    return _WHOLE.sub(lambda seen: f"{_figure(seen['whole'])} {seen['turn']}", text)


def _figure(word: str) -> str:
    return _FIGURES.get(word.casefold(), word)


def _part(seen: re.Match[str]) -> str:
    return "3/4" if seen["three"] else "1/4" if seen["one"] else "1/2"


def _alone(seen: re.Match[str]) -> str:
    """Write a share with no number before it; several are a unit: ``in quarters of a turn``."""
    return seen[0] if _SEVERAL.fullmatch(seen["one"] or "") else f"{_part(seen)} {seen['turn']}"


def _with_share(seen: re.Match[str]) -> str:
    turn = seen["before"] or seen["behind"]
    return f"{_figure(seen['whole'])} {_part(seen)} {turn}" if turn else seen[0]


def _compound(seen: re.Match[str]) -> str:
    part = {"halb": "1/2", "viertel": "1/4", "dreiviertel": "3/4"}[seen["share"].casefold()]
    return f"{_figure(seen['whole'])} {part} {seen['turn']}"
