"""Words of headings in other languages, a language at a time, so that a speaker can check one block.

Written folded: no case, no marks on letters. A word that means two things stands where a sheet of runs means
it more often; one that other languages or English use for something else stands in :data:`ONLY_THERE`.
"""

from __future__ import annotations

from collections.abc import Mapping

from pipeline.ingest.recognise.tongues.eastern import EASTERN
from pipeline.ingest.recognise.tongues.germanic import GERMANIC
from pipeline.ingest.recognise.tongues.others import OTHERS
from pipeline.ingest.recognise.tongues.romance import ROMANCE
from pipeline.ingest.recognise.tongues.slavic import SLAVIC

ABROAD: Mapping[str, Mapping[str, str]] = {**GERMANIC, **ROMANCE, **SLAVIC, **OTHERS, **EASTERN}
"""Language -> plain word -> how that language says it."""

ONLY_THERE: Mapping[str, Mapping[str, str]] = {
    "French": {"time": "temps", "place": "ou"},
    "Spanish": {"d1000": "mil"},
    "Portuguese": {"time": "tempo", "place": "local", "d1000": "mil"},
    "Italian": {"time": "tempo"},
    "Romanian": {"year": "an", "outcome": "cum"},
    "Catalan": {"time": "temps", "place": "on", "year": "any", "d1000": "mil", "outcome": "com"},
    "Afrikaans": {"car": "motor"},
    "Swedish": {"year": "ar", "place": "var", "round": "heat"},
    "Norwegian and Danish": {"year": "ar", "rear": "bag", "round": "heat"},
    "Croatian, Serbian and Slovene": {"date": "dan", "clock": "sat"},
    "Hungarian": {"year": "ev"},
    "Turkish": {"date": "gun", "turns": "tur", "notes": "not", "d1000": "bin", "water": "su"},
    "Welsh": {"place": "ble", "d1000": "mil", "event": "ras"},
    "Basque": {"water": "ura", "d1000": "mila"},
    "Indonesian, Malay and Filipino": {"clock": "oras", "tire": "ban"},
}
"""Language -> plain word -> words that mean it on a sheet whose other words are in that language."""
