"""The day of the week that people write beside a date, in many languages."""

from __future__ import annotations

import re
from functools import lru_cache

from pipeline.ingest.month_names import without_accents

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_FOREIGN = {
    "mo": 0, "di": 1, "mi": 2, "do": 3, "fr": 4, "sa": 5, "so": 6, "die": 1, "mit": 2, "don": 3, "fre": 4,
    "son": 6, "lun": 0, "mar": 1, "mie": 2, "mié": 2, "jue": 3, "vie": 4, "sab": 5, "sáb": 5, "dom": 6,
    "mer": 2, "jeu": 3, "ven": 4, "sam": 5, "dim": 6, "gio": 3, "mån": 0, "tis": 1, "ons": 2, "tor": 3,
    "lör": 5, "sön": 6, "seg": 0, "ter": 1, "qua": 2, "qui": 3, "sex": 4,
    "ma": 0, "ti": 1, "ke": 2, "pe": 4, "la": 5, "su": 6, "wo": 2, "vr": 4, "za": 5, "zo": 6, "pon": 0,
    "wt": 1, "śr": 2, "czw": 3, "pt": 4, "sob": 5, "nd": 6, "nie": 6, "man": 0, "tir": 1, "lør": 5, "søn": 6,
    "ut": 1, "uto": 1, "sre": 2, "sri": 2, "cet": 3, "čet": 3, "pet": 4, "sub": 5, "ned": 6, "út": 1, "pá": 4,
    "ср": 2, "чт": 3, "пт": 4, "сб": 5, "вс": 6, "нд": 6, "пн": 0, "вт": 1,
}  # fmt: skip
_NAMES = (
    "monday montag lundi lunes segunda lunedi maandag mandag maanantai poniedzialek pondeli pondelok "
    "ponedjeljak "
    "ponedeljek hetfo pazartesi luni dilluns esmaspaev manudagur pirmadienis pirmdiena senin isnin "
    "понедельник "
    "понеділок δευτέρα",
    "tuesday dienstag mardi martes terca martedi dinsdag tirsdag tisdag tiistai wtorek utery utorok "
    "utorak torek "
    "kedd sali marti dimarts teisipaev thridjudagur antradienis otrdiena selasa вторник вівторок τρίτη",
    "wednesday mittwoch mercredi miercoles quarta mercoledi woensdag onsdag keskiviikko sroda streda "
    "srijeda sreda "
    "szerda carsamba miercuri dimecres kolmapaev midvikudagur treciadienis tresdiena rabu среда середа "
    "τετάρτη",
    "thursday donnerstag jeudi jueves quinta giovedi donderdag torsdag torstai czwartek ctvrtek stvrtok "
    "cetvrtak "
    "cetrtek csutortok persembe joi dijous neljapaev fimmtudagur ketvirtadienis ceturtdiena kamis khamis "
    "четверг четвер πέμπτη",
    "friday freitag vendredi viernes sexta venerdi vrijdag fredag perjantai piatek patek piatok petak "
    "petek pentek "
    "cuma vineri divendres vrydag reede fostudagur penktadienis piektdiena jumat пятница παρασκευή",
    "saturday samstag sonnabend samedi sabado sabato zaterdag lordag lauantai sobota subota szombat "
    "cumartesi "
    "sambata dissabte saterdag laupaev laugardagur sestadienis sestdiena sabtu суббота субота σάββατο",
    "sunday sonntag dimanche domingo domenica zondag sondag sunnuntai niedziela nedele nedela nedjelja "
    "nedelja "
    "vasarnap pazar duminica diumenge puhapaev sunnudagur sekmadienis svetdiena minggu воскресенье неділя "
    "κυριακή",
)  # fmt: skip
_WHOLE = {without_accents(name): day for day, names in enumerate(_NAMES) for name in names.split()}
_SHORTENED = frozenset("mon tue tues wed weds thu thur thurs fri sat sun".split())  # noqa: SIM905
_BEFORE_A_DATE = re.compile(
    r"^(?P<name>[^\W\d_]{2,13})(?:-feira)?[.,]*\s+"
    r"(?=\d{1,4}\s*[-/. ]\s*\d{1,2}\s*[-/. ]\s*\d{1,4}|\d{1,2}(?:st|nd|rd|th)?[\s.-]*[^\W\d_]"
    r"|[^\W\d_]{3,12}\.?[\s-]+\d)"
)
_A_WORD = re.compile(r"[^\W\d_]{3,13}(?:-feira)?\.?")


@lru_cache(maxsize=4096)
def weekday_of(text: str) -> int | None:
    """Return the number of a day of the week, Monday 0; None for any other word."""
    own = text.casefold().rstrip(".")
    if (whole := _WHOLE.get(without_accents(own.removesuffix("-feira")))) is not None:
        return whole
    for at, name in enumerate(WEEKDAYS):
        if own.startswith(name):
            return at
    return _FOREIGN.get(own) if own in _FOREIGN else _FOREIGN.get(own[:3])


def is_weekday(text: str) -> bool:
    """Tell whether a word surely names a day of the week: in full, or as English shortens it."""
    own = without_accents(text.strip(" .").removesuffix("-feira"))
    return own in _WHOLE or own in _SHORTENED


def is_english(text: str) -> bool:
    """Tell whether a day of the week is named as English does, in full or shortened."""
    own = text.casefold().strip(" .,")
    return own in _SHORTENED or own in {names.split()[0] for names in _NAMES}


def without_weekdays(text: str) -> str:
    """Leave the days of the week out of a title.

    Examples
    --------
    >>> without_weekdays("Sunset Shootout Sat, sobota")
    'Sunset Shootout  ,  '
    """
    return _A_WORD.sub(lambda found: " " if is_weekday(found[0]) else found[0], text)


def without_weekday(text: str) -> tuple[str, int | None]:
    """Part a date from the day of the week before it.

    Examples
    --------
    >>> without_weekday("Sun 8/7/22"), without_weekday("Mar 30 2024")  # no martes
    (('8/7/22', 6), ('Mar 30 2024', None))
    """
    found = _BEFORE_A_DATE.match(text)
    day = weekday_of(found["name"]) if found else None
    return (text, None) if found is None or day is None else (text[found.end() :], day)
