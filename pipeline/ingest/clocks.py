"""How times of day are written, for everybody who looks for one."""

from __future__ import annotations

import re
from collections.abc import Mapping

_BEHIND: Mapping[str, tuple[str, str]] = {
    "German": (r"vorm\.?|morgens|früh", r"nachm\.?|nachmittags|abends"),
    "Dutch and Afrikaans": (
        r"vm\b|v\.\s?m\.|'s (?:ochtends|morgens)",
        r"nm\b|n\.\s?m\.|'s (?:middags|avonds)",
    ),
    "Swedish": (
        r"fm\b|f\.\s?m\.|på (?:morgonen|förmiddagen)",
        r"em\b|e\.\s?m\.|på (?:kvällen|eftermiddagen)",
    ),
    "Norwegian and Danish": (
        r"om morgen(?:en)?",
        r"om kvelden|om aftenen|om ettermiddagen|om eftermiddagen",
    ),
    "Finnish": (r"ap\.?(?=$|\W)|aamulla|aamupäivällä", r"ip\.?(?=$|\W)|illalla|iltapäivällä"),
    "Estonian": (r"hommikul|e\.\s?l\.", r"õhtul|pärastlõunal|p\.\s?l\."),
    "French": (r"du mat(?:in)?\.?", r"du soir|de l['’]après-midi|après-midi"),
    "Spanish and Portuguese": (r"(?:de la |da )?ma(?:ñana|nhã)", r"(?:de la |da )?(?:tarde|no(?:che|ite))"),
    "Italian": (r"(?:di|del) mattin[ao]", r"(?:di|del) pomeriggio|(?:di|della) sera"),
    "Romanian": (r"dimineața", r"după-amiaza|după-masă|seara"),
    "Catalan": (r"del matí", r"de la tarda|del vespre"),
    "Polish": (r"rano|przed poł\w*\.?", r"po poł\w*\.?|wiecz\w*\.?"),
    "Czech and Slovak": (
        r"dop\.?(?=$|\W)|dopoledne|ráno|doobeda",
        r"odp\.?(?=$|\W)|odpoledne|večer|poobede",
    ),
    "Croatian, Serbian and Slovene": (
        r"prijepodne|prepodne|ujutro|zjutraj|dopoldne",
        r"po(?:slij?e)?podne|navečer|uveče|zvečer|popoldne",
    ),
    "Russian and Ukrainian": (r"утра|ранку", r"дня|вечера|вечора"),
    "Latvian and Lithuanian": (r"no rīta|rytą|ryto", r"pēcpusdienā|vakarā|vakaro|po pietų"),
    "Turkish": (r"öö", r"ös"),
    "Greek": (r"π\.?\s?μ\.?|το πρωί", r"μ\.?\s?μ\.?|το απόγευμα|το βράδυ"),
    "Welsh": (r"y\.?\s?b\.?(?=$|\W)|y bore", r"y\.?\s?h\.?(?=$|\W)|y prynhawn|yr hwyr"),
    "Basque": (r"goizeko|goizean", r"arratsaldeko|arratsaldean"),
    "Indonesian, Malay and Filipino": (r"pagi|ng umaga", r"siang|sore|petang|malam|ng hapon|ng gabi"),
    "Arabic": (r"ص|صباحا|صباحًا", r"م|مساء|مساءً"),
    "Hebrew": (r"בבוקר|לפנה״צ", r"אחה״צ|אחה\"צ|בערב"),
    "Persian": (r"صبح|ق\.?ظ\.?", r"ب\.?ظ\.?|عصر|بعدازظهر|شب"),
}  # fmt: skip
"""Language -> morning and afternoon or evening, behind a time of day."""
_HALVES = tuple(
    (half, "|".join(words[at] for words in _BEHIND.values())) for at, half in enumerate(("am", "pm"))
)
_HALVES_BEFORE = (
    ("am", r"午前|오전|아침|上午|早上|de\.(?=\s?\d)|délelőtt|reggel|sabah|pagi"),
    ("pm", r"午後|오후|저녁|下午|晚上|傍晚|夕方|du\.(?=\s?\d)|délután|este|akşam|öğleden sonra|petang"),
)
_HALF = rf"(?:[ap]\.?\s?m?\.?|{'|'.join(words for _, words in _HALVES)})"
"""Morning or evening."""
OF_HOURS = r"(?:uhr|hrs?|hours?|h|uur|heures?|horas?|godz|hod|óra|ura|час(?:ов|а)?|годин[аи]?|val|時|点|น)\.?"
"""What may stand behind a time of 24 hours."""
WRITTEN = (
    rf"(?:(?:{'|'.join(words for _, words in _HALVES_BEFORE)})\s?)?"
    rf"\d{{1,2}}(?:\s?h\s?|u|:|時|点|시\s?)\d{{2}}[分분]?(?::\d{{2}}(?:\.\d+)?)?(?:\s*(?:{_HALF}|{OF_HOURS}))?"
    rf"|(?:[01]\d|2[0-3])[0-5]\d\s?{OF_HOURS}"
    rf"|\d{{1,2}}\.[0-5]\d\s?(?:[ap]\.?\s?m\.?|uhr\b|hrs?\b)"
)
"""Surely a time of day, also among other words: ``19:42``, ``7:42 pm``, ``19 h 42``, ``1942 hrs``."""
SHORT = rf"\d{{1,2}}(?:[0-5]\d)?\s?{_HALF}"
"""One where nothing else stands: ``7p``, ``742 pm``."""
IN_TEXT = re.compile(rf"(?i)(?<![\w.:,])({WRITTEN})(?!\w|:\d|[.,]\d)")
AT_THE_START = re.compile(rf"(?i)^\W*({WRITTEN}|{SHORT})(?=$|[\s,;:.-])")
BEFORE = (
    r"(?:at|@|ore|ora|alle|a las|a les|h|kl|klo|kell|um|gegen|ob|om|omstreeks|à|vers|as|às|pelas|godz|ok"
    r"|saat|в|о|ve|plkst|val|pukul|pkl|jam|στις|alas|saa|الساعة|ساعت|בשעה)\.?\s*"
)
"""What may stand before one: ``ore 10:19``, ``kl. 9.48``."""
ALONE = re.compile(rf"(?i)^(?:{BEFORE})?(?:{WRITTEN}|{SHORT}|noon)$")


def plain_clock(text: str) -> str:
    """Write a time of day, in small letters, without what stands behind it and around its ``h``.

    Examples
    --------
    >>> plain_clock("18 h 42"), plain_clock("1309 hrs"), plain_clock("9h41"), plain_clock("7:40 pm")
    ('18:42', '1309', '9:41', '7:40 pm')
    >>> [plain_clock(text) for text in ("5:47 م", "10:12 π.μ.", "午後3時05分", "du. 3:20")]
    ['5:47 pm', '10:12 am', '3:05 pm', '3:20 pm']
    """
    plain = re.sub(rf"^{BEFORE}(?=\d)", "", text.strip())
    if not plain.isascii() or _SOME_HALF.search(plain) or _SOME_HALF_BEFORE.match(plain):
        plain = _in_english(plain)
    plain = re.sub(r"(?<=\d)(?:\s?h\s?|u)(?=\d)", ":", plain)
    return re.sub(rf"(?<=\d)\s*{OF_HOURS}$", "", plain)


_SOME_HALF = re.compile(rf"(?<=\d)\s*(?:{'|'.join(words for _, words in _HALVES)})$")
_SOME_HALF_BEFORE = re.compile(rf"(?:{'|'.join(words for _, words in _HALVES_BEFORE)})\s?\d")


def _in_english(text: str) -> str:
    """Write morning and evening behind the time as English does, and signs for hour and minute as a colon."""
    text = re.sub(r"(?<=\d)(?:時|点|시)\s?(?=\d)", ":", text)
    text = re.sub(r"(?<=\d)[分분]$", "", text)
    for half, words in _HALVES_BEFORE:
        text = re.sub(rf"^(?:{words})\s?(.*)$", rf"\1 {half}", text)
    for half, words in _HALVES:
        text = re.sub(rf"(?<=\d)\s*(?:{words})$", f" {half}", text)
    return text
