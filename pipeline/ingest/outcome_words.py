"""Beginnings of words for how a run went, in other tongues than English."""

from __future__ import annotations

import re
from collections.abc import Mapping

_BEGINNINGS: Mapping[str, tuple[str, ...]] = {
    "missed shift": (
        "missad väx", "misset gir", "bommet gir",
        "シフトミス", "ミスシフト", "nezařadil", "elváltott", "falló", "loupé",
        "verschalt", "gang verpasst", "gang verfehlt", "gang nicht", "felväx", "missade tvåan",
        "missade trean", "missade fyran", "missade väx", "vaihde jäi", "nie wszed", "errou marcha",
        "errou a marcha", "errou a 2", "errou a 3", "errou a 4", "errei", "erró la", "fallo de cambio",
        "raté la", "raté le", "raté une", "raté mon", "vitesse ratée", "vitesse manquée", "manqué la",
        "manqué le", "manqué une", "manqué mon", "marcia mancata", "verschakeld", "misgeschakeld", "gemist",
    ),
    "broke": (
        "haveri", "havari", "skar", "panne", "guasto",
        "故障", "破損", "壊れ", "prasklo", "porucha", "eltört",
        "defekt", "kaputt", "rompi", "poikki", "rikki", "hajos", "pękł", "urwa", "awari", "cassé",
        "quebr", "sönder", "trasig", "kapot", "rotto", "rotta", "roto", "rota", "estrag",
    ),
    "lifted": (
        "lâché",
        "アクセルオフ", "アクセル戻", "アクセルを抜", "ubral", "mollato",
        "gas weg", "vom gas", "levant", "levé le pied",
        "tirou o pé", "tirei o pé", "släppte", "lyfte", "odpuści", "nosti jala", "nostin jala", "gas los",
        "alzat", "slapp gas",
    ),
    "aborted": (
        "中止", "中断", "přeruš", "megszak",
        "abbruch", "avbröt", "avbrut", "przerwan", "keskey", "annul", "interrump", "interromp",
        "abgebroch", "afgebroken", "abandon", "cancelad",
    ),
    "bogged": (
        "eingeknickt", "zu wenig drehzahl", "abgewürgt",
        "失速", "ストール", "ボグ", "zadusil", "lefulladt", "hyytyi",
        "abgesoffen", "eingebrochen", "étouff", "calé", "caló", "afogou", "tvärdog", "ahog",
        "cayó de vueltas", "kyykk", "dök i varv", "zdławi", "zdusi", "zdech", "soffoc", "verzop", "sammu",
    ),
    "spun": (
        "空転", "ホイールスピン", "スピン", "prokluz", "protočil", "kipörög",
        "durchgedreht", "durchdreh", "patin", "spann", "slira", "hjulspinn", "sutas", "sutaa",
        "suti", "buksowa", "poślizg", "doorgesl", "doorgesp", "gespind", "slippte", "pattin",
    ),
    "red light": (
        "rött ljus", "rødt", "faux-départ",
        "フライング", "赤", "レッド", "červen", "piros",
        "rotlicht", "frühstart", "fruehstart", "roja", "rojo", "faux départ", "feu rouge", "queimou",
        "tjuvstart", "rödljus", "punai", "czerwon", "vermelh", "rood", "rosso", "rossa", "falstart",
    ),
    "clean": (
        "muy bien", "très bien", "sehr gut", "molto bene", "muito bem", "perfect", "prima",
        "良好", "正常", "クリーン", "良し", "čist", "tiszta",
        "sauber", "limpi", "limpa", "limpo", "gut", "siisti", "dobr", "czyst", "propre", "belle passe",
        "correct", "pulit", "goed", "schoon", "helt ok",
    ),
}  # fmt: skip
_ALONE = frozenset("ras bra bien bom boa bene hyvä bon bonne belle fin ren buena bueno nickel".split())  # noqa: SIM905
"""Whole entries that say it went well."""
_IN_ORDER = tuple(
    (name, re.compile(rf"\b(?:{'|'.join(map(re.escape, words))})")) for name, words in _BEGINNINGS.items()
)
_SPOILED = sorted(
    {re.escape(word) for name, words in _BEGINNINGS.items() if name != "clean" for word in words}
)
OTHER_TONGUES = rf"(?:^|[^\p{{L}}])(?:{'|'.join(_SPOILED)})"
"""The same for DuckDB, of which the letters before are none; notes say nothing of a clean run."""


def in_other_tongues(spoken: str) -> str | None:
    """Find how a run went in words in small letters that are not English; None when nothing is said.

    Examples
    --------
    >>> in_other_tongues("nie wszedł 3 bieg"), in_other_tongues("sutasi lähdössä"), in_other_tongues("good")
    ('missed shift', 'spun', None)
    """
    for name, pattern in _IN_ORDER:
        if pattern.search(spoken):
            return name
    return "clean" if spoken.strip(" .!") in _ALONE else None
