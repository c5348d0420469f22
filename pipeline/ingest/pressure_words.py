"""How a barometer is said to show the air at the strip, or at the level of the sea, a language at a time."""

from __future__ import annotations

import re
from collections.abc import Mapping

PRESSURES_SAID: Mapping[str, tuple[str, str]] = {
    "German": (
        "vor Ort | am Platz | Stationsdruck | unkorrigiert | unreduziert | nicht reduziert | absolut",
        "Meereshöhe | Meeresniveau | Meeresspiegel | auf NN | reduziert | korrigiert",
    ),
    "Dutch": ("ter plaatse | ter plekke | ongecorrigeerd | absoluut", "zeeniveau | gecorrigeerd"),
    "Afrikaans": ("ter plaatse | ongekorrigeer", "seevlak | seespieël"),
    "Swedish": (
        "på plats | på platsen | stationstryck | okorrigera | i depå",
        "havsnivå | havsytan | havsyta | korrigerat | omräknat",
    ),
    "Norwegian and Danish": (
        "på stedet | på plassen | på pladsen | ukorrigert | ukorrigeret",
        "havnivå | havniveau | havoverflaten | havets overflade | korrigert | korrigeret",
    ),
    "Icelandic": ("á staðnum | óleiðrétt", "sjávarmál | leiðrétt"),
    "French": (
        "sur place | de station | non corrigé | pression absolue | non réduite",
        "niveau de la mer | niveau mer | corrigée | réduite",
    ),
    "Spanish": (
        "en sitio | en el sitio | de estación | sin corregir | presión absoluta",
        "nivel del mar | nivel de mar | corregida",
    ),
    "Portuguese": ("no local | da estação | sem correção | pressão absoluta", "nível do mar | corrigida"),
    "Italian": (
        "sul posto | in loco | di stazione | non corretta | assoluta",
        "livello del mare | livello mare | corretta",
    ),
    "Romanian": (
        "la fața locului | la stație | necorectat | presiune absolută",
        "nivelul mării | corectată",
    ),
    "Catalan": ("al lloc | de l'estació | sense corregir", "nivell del mar | corregida"),
    "Polish": (
        "na miejscu | stacyjne | bezwzględne | nieskorygowane",
        "poziom morza | poziomu morza | zredukowane | skorygowane",
    ),
    "Czech and Slovak": (
        "na místě | na mieste | staniční | staničný | nekorigovan | absolutní",
        "hladina moře | hladinu moře | hladinu mora | úrovni moře | redukovan | přepočten | prepočítan",
    ),
    "Croatian, Serbian and Slovene": (
        "na mjestu | na mestu | na licu mjesta | apsolutni | absolutni | nekorigiran",
        "razina mora | razini mora | nivo mora | morska gladina | morske gladine | korigiran",
    ),
    "Russian and Ukrainian": (
        "на месте | на місці | станционн | абсолютн | без поправк",
        "уровень моря | уровн[юя] моря | рівень моря | рівня моря | приведенн | приведённ | зведен",
    ),
    "Latvian and Lithuanian": (
        "uz vietas | vietoje | nekoriģēt | nekoreguot",
        "jūras līme | jūros lyg | koriģēt | koreguot",
    ),
    "Finnish": (
        "paikan päällä | asemapaine | korjaamaton",
        "merenpinta | merenpinnan | meren pinta | korjattu",
    ),
    "Estonian": ("kohapeal | jaamarõhk | parandamata", "merepinna | merepind | parandatud"),
    "Hungarian": (
        "helyszíni | helyben mért | állomási | korrigálatlan",
        "tengerszint | korrigált | átszámított",
    ),
    "Turkish": ("yerinde | istasyon basıncı | düzeltilmemiş", "deniz seviyesi | düzeltilmiş"),
    "Greek": (
        "επιτόπου | σταθμού | απόλυτη",
        "στάθμη θάλασσας | στάθμη της θάλασσας | επιφάνεια της θάλασσας | διορθωμένη",
    ),
    "Welsh": ("yn y fan | heb ei gywiro", "lefel y môr"),
    "Basque": ("bertan | zuzendu gabe", "itsas maila"),
    "Swahili": ("papo hapo | kituoni", "usawa wa bahari"),
    "Indonesian, Malay and Filipino": (
        "di lokasi | di tempat | stasiun | stesen | sa lugar",
        "permukaan laut | aras laut | paras laut | antas ng dagat",
    ),
    "Japanese": ("現地 | 実測 | 観測点", "海面"),
    "Chinese": ("本站 | 现场 | 当地", "海平面 | 修正"),
    "Korean": ("현지 | 현장", "해면 | 해수면"),
    "Thai": ("ที่สนาม | หน้างาน", "ระดับน้ำทะเล"),
    "Arabic": ("في الموقع | ضغط المحطة", "سطح البحر | مصحح"),
    "Hebrew": ("במקום | לחץ תחנה", "פני הים"),
    "Persian": ("در محل | ایستگاه", "سطح دریا"),
}  # fmt: skip
"""Language -> beginnings of words for the air where it is read, and for the level of the sea."""


NOT = "not|no|non|nicht|kein|keine|inte|ej|ikke|ei|niet|geen|nie|pas|não|nao|nu|não|ne|не|nem|değil|δεν|μη"
"""Words that turn what follows them round, of many tongues."""
FIRST_SIGN = "\u3000"
"""From here on are the signs of tongues that put no blank between words."""


def _pattern(which: int) -> str:
    words = [word for said in PRESSURES_SAID.values() for word in said[which].split(" | ")]
    apart = (word for word in words if word < FIRST_SIGN)
    return rf"(?<![^\W\d_])(?:{'|'.join(apart)})|" + "|".join(word for word in words if word >= FIRST_SIGN)


_SEA_LEVEL = (
    r"\balt(?:imeter|im)?\b|\bqnh\b|\bsea\s*-?level|\b(?:corrected|adjusted|converted|airport|metar|radio)\b"
    rf"|{_pattern(1)}"
)
_STATION = (
    r"\b(?:station|stn|absolute|uncorrected|unadjusted|qfe)\b"
    rf"|\b(?:{NOT})\s+(?:(?:the|at|to|de|à)\s+)?(?:{_SEA_LEVEL})|{_pattern(0)}"
)
KINDS = {
    "station": re.compile(_STATION, re.IGNORECASE),
    "altimeter": re.compile(_SEA_LEVEL, re.IGNORECASE),
}


def kind_of_pressure(text: str) -> str:
    """Tell what a barometer is said to show: ``station``, ``altimeter``; empty where nothing is said.

    Examples
    --------
    >>> [kind_of_pressure(text) for text in ("QNH", "vor Ort", "ej omräknat", "not corrected", "hPa")]
    ['altimeter', 'station', 'station', 'station', '']
    """
    return next((kind for kind, said in KINDS.items() if said.search(text)), "")
