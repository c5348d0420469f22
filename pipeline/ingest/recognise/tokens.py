"""A heading in anybody's hand as a set of plain words: order, case, glue, dots and language do not matter."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache

from pipeline.garage.spelling import without_marks
from pipeline.ingest.recognise.languages import ABROAD

WORDS: Mapping[str, str] = {
    "date": "date datas day when dag",
    "month": "month mo mon monat mes mois mese maand",
    "year": "year yr jahr ano anno annee season saison sasong kausi sezon temporada stagione",
    "clock": "clock local staged hour hours hrs tijd tod czas",
    "time": "time times temps tempo tider",
    "car": "car cars auto vehicle ride machine rig",
    "strip": "strip facility field terrain anlage venue dragstrip raceway speedway dragway ort",
    "place": "place tor where location site donde",
    "track": "track rata bana banan trk pista piste baan bane",
    "ref": "ref reference referenz",
    "lane": "lane fil side lanes ln",
    "event": "event occasion meet meeting race races",
    "round": "round rounds rnd rd session vuelta pass passes",
    "run": "run runs num number no id ticket tkt",
    "reaction": "reaction react rxn tree light lights lite rt r-t rx tr rz",
    "d60": "60 18 20 sixty short",
    "d330": "330 100 mid",
    "d660": "660 eighth 8th halftrack huitieme 201 200",
    "d1000": "1000 305 300 thousand grand",
    "d1320": "1320 quarter 4th quart 402 400",
    "et": "et elapsed ets",
    "mph": "mph spd vel speed speeds trap velocity tempo kmh kph km @",
    "launch": "launch leave takeoff dropped chip regime launches leaving left dump dumped start starting "
        "launched step limiter hit",
    "rpm": "rpm rpms revs tours giri umin",
    "air": "air ambient oat outside lufttemperatur lufttemp",
    "temp": "temp temps temperature temperatures heat hot",
    "surface": "surface tar deck blacktop sfc tarmac ground concrete pavement gun infrared ir "
        "superficie oberflache bahntemp streckentemp",
    "pressure": "pressure glass druk baro barometer barometric spanning barometro barometre barometrica "
        "press hpa kpa mbar inhg mmhg atm atmospheric",
    "altimeter": "altimeter altim qnh sealevel corrected",
    "station": "station stn sta absolute uncorrected qfe",
    "humidity": "humidity damp kost wilg hum rh humid ur rf hr relh",
    "dew": "dew dewpoint",
    "wet": "wet wetbulb",
    "bulb": "bulb",
    "point": "point pt",
    "grains": "grains",
    "wind": "wind winds viento vent vento",
    "direction": "direction dir richtung direccion from out",
    "turns": "turns kierr kierrokset obroty turn giri trn trns omgangar qtrs quarters quarterturns "
             "quarts cuartos quartos quarti",
    "preload": "preload napiecia pre carga base",
    "screw": "screw screws adjuster adjusters nut nuts stellschraube",
    "weight": "weight obciaznik vikter weights gewichte pesos poids wt counterweight counterweights cw "
        "cwt counterwt ctrwt fliehgewichte gegengewichte",
    "lever": "lever levers finger arm arms fingers tip armen arme",
    "counter": "counter",
    "psi": "psi lbs lb pounds",
    "gram": "gram gm g grams gramm gramos grammes",
    "tire": "tire tires tyre tyres slick slicks reifendruck neumaticos band",
    "rear": "rear back hinten",
    "ring": "ring anillo anneau ringhohe ringhoehe",
    "height": "height heights hohe hoehe altura hauteur altezza ht hgt",
    "shim": "shim shims beilage beilagscheibe cale calza galga",
    "removed": "removed out taken pulled entfernt quitado quitada heraus weg raus",
    "bearing": "bearing throwout lager brg rodamiento cojinete ausrucklager",
    "clearance": "clearance gap spiel luftspalt holgura clr jeu",
    "disc": "disc disk scheibe disco disque",
    "thickness": "thickness thick dicke espesor epaisseur",
    "outcome": "outcome tila status gick foul passou result results went happened how ran",
    "notes": "notes remark narrative rmks note remarks comment comments memo nota anmarkningar kommentar "
    "misc why warum waarom pourquoi varfor hvorfor miksi dlaczego perche",
    "engine": "engine motor",
    "clutch": "clutch kytkin sprzeglo kupplung embrague embrayage",
    "wheel": "wheel",
    "opponent": "opponent opp opponents their his her them him other",
    "dial": "dial dialin dialed dialled index",
    "elevation": "elevation elev hohenmeter",
    "altitude": "altitude da dichtehohe",
    "density": "density adr",
    "driver": "driver",
    "kind": "kind type",
    "before": "before vor antes avant ahead",
    "after": "after",
    "since": "since",
    "gust": "gust gusts",
    "oil": "oil",
    "water": "water coolant",
    "fuel": "fuel gas",
    "plug": "plug plugs zundkerze zundkerzen bougie bougies bujia bujias candela candele vela velas",
    "jet": "jet jets jetting duse dusen gicleur gicleurs getti",
    "gear": "gear gears ubersetzung rapport rapporto rapporti utvaxling utveksling",
    "vacuum": "vacuum vac",
    "timing": "timing zundung allumage",
    "gallon": "gallon gallons gal",
    "liter": "liter liters litre litres litros litri",
    "cost": "cost price paid usd eur entry fee",
    "qty": "qty quantity",
    "front": "front",
    "shift": "shift",
    "shock": "shock amortisseur amortisseurs crans amortecedor cliques shocks clicks click klicks damper "
        "dampers absorber stossdampfer amortiguador amortiguadores",
    "total": "total",
    "average": "average avg mean",
    "best": "best",
    "margin": "margin mov",
    "win": "win won loss lost",
}  # fmt: skip
"""A plain word -> how people write it, folded; more of other languages stands in ``languages``."""

_FILLER_WORDS = """
ft foot feet of the a an at in to and my our on per each ea by for was were it is did with meile
mile mille mi s sec secs sekunden de la el le les der die das du des en am im reading readings value
deg milles voet fot fuss pies pied pieds piedi mijl mil miglio milha
degree degrees grad grados actual we i us that this ms no. # unit units f c p n x up set not un uncorr
jalkaa jalat fod pes piedi stop stopa lab feta futova fut πόδια ποδια قدم ميل фут футов
ter te op bij van het een zum zur auf bei av til fra ved au aux sur par al del sul alla em ao od po フィート
off line pe jalka kv mila milje pri przy ved met mit med con avec com with z na om uur
peus fet pedas pedu jalga kaki troedfedd oin mili milja мили миль миля
피트 마일 מייל רגל مایل فوت 英尺 英里 マイル
relative relativa relativ relativni relatief suht wzgl wzgledna orani procent prozent
г гр бар гпа кпа мбар км sa det foi fue salio ging lief ist est
"""
FILLERS = frozenset(without_marks(_FILLER_WORDS).split())
"""Words that say next to nothing, and units."""

SHORT_UNIT = 3
"""A word that nobody knows beside a distance, so short, is feet or metres in some tongue: ``60 st.``."""
LEAST_STEM = 5
LEAST_PART = 3
"""Letters that each part of a compound word has at least."""
_AT_HOME = {spelling: word for word, spellings in WORDS.items() for spelling in (word, *spellings.split())}
_ABROAD = {
    spelling: word
    for words in ABROAD.values()
    for word, spellings in words.items()
    for spelling in without_marks(spellings).split()
}
_SPELLED = _ABROAD | _AT_HOME


def is_only_abroad(word: str) -> bool:
    """Tell whether a folded word is known as another language's alone."""
    return word in _ABROAD and word not in _AT_HOME


def _by_first_letter(spelled: Mapping[str, str]) -> dict[str, dict[str, str]]:
    found: dict[str, dict[str, str]] = {}
    for spelling, word in spelled.items():
        found.setdefault(spelling[0], {})[spelling] = word
    return found


_BEGINNING, _ABROAD_BEGINNING = _by_first_letter(_AT_HOME), _by_first_letter(_ABROAD)
DISTANCES = frozenset({"d60", "d330", "d660", "d1000", "d1320"})
_FRACTION = (
    (re.compile(r"1\s*/\s*8(?:th)?|⅛"), " eighth "),
    (re.compile(r"1\s*/\s*4(?:th)?|¼"), " quarter "),
)
_OF_A_DATE = re.compile(
    r"(?<![^\W\d_])(?!hh)([^\W\d_])\1(?:\1\1)?[-/. ]?(?!\1)([^\W\d_])\2"
    r"[-/. ]?(?!\1|\2)([^\W\d_])\3(?:\3\3)?(?![^\W\d_])"
)
_OF_A_CLOCK = re.compile(
    r"(?<![^\W\d_])(?:hh|tt|gg|oo|чч|ωω)[:.]?(?:mm|dd|pp|nn|мм|хх|λλ)(?![^\W\d_])"
    r"|\b(?:12|24)[ -]?(?:h|hrs?|hours?)\b"
)
"""Letters of year, month and day, or of hour and minute, in any tongue: ``YYMMDD``, ``RRMMDD``; ``24 h``."""
_DOTTED = re.compile(r"\b([a-z])[./]([a-z])(?:[./]([a-z]))?\b\.?")
_CAMEL = re.compile(r"(?<=[a-zà-ÿ])(?=[A-Z])|(?<=[A-Z])(?=[A-Z][a-z]{2})")
_TIMES = re.compile(r"\b[x×]\s*\d+\b|\b\d+\s*[x×](?![a-z])")
_FOR_TEMPERATURE = re.compile(r"^t[\s._°º]+(?=[^\W\d_]{3})")
"""A letter for what is measured before where: ``T air``."""
_PRESSURE_UNIT = re.compile(r"[hk]Pa|(?:in|mm)Hg")
_A_MINUTE = re.compile(r"\b(?:1|[a-z]{1,6})\.?\s*/\s*(?:min|mn|dk)\b\.?|\bmin\s*(?:-|−|\^-|⁻)\s*[1¹]")
"""Turns a minute in any language: 1/min, U/min, tr/min, obr./min."""
_LEFT_OUT = re.compile(
    r"\b(?:(?:qu|(?:del|al|nel|sul)?l)|[dns])['’´`](?=[^\W\d_]{3})|(?<=[a-z] )da (?=[a-z]{3})"
)
"""What says nothing before a word: of an article with a vowel left out, ``dell'aria``; ``temp. da pista``."""
_IN_HEBREW = re.compile(r"(?<=[א-ת])[\"״'׳](?=[א-ת])")
"""What marks a word of first letters."""
_CUT = re.compile(r"([^\W\d_]+)[.-](?![^\W\d_])")
"""A word cut short, as a dot or a hyphen says."""
_GLUE = re.compile(r"(?<=[a-z])(?=\d)|(?<=\d)(?=[a-z])")
_WORD = re.compile(r"[a-z]+|[^\W\d_a-z]+|\d+|@|%")


@cache
def tokens(heading: str) -> tuple[str, ...]:
    """Give the plain words of a heading in the order written; unknown ones stand as they are.

    Examples
    --------
    >>> tokens("ET60"), tokens("1/8 M.P.H."), tokens("Lau RPM")
    (('et', 'd60'), ('d660', 'mph'), ('launch', 'rpm'))
    """
    text = _PRESSURE_UNIT.sub(lambda found: found[0].casefold(), heading.strip())
    text = _IN_HEBREW.sub("", without_marks(_CAMEL.sub(" ", text)))
    text = _OF_A_CLOCK.sub(" clock ", _OF_A_DATE.sub(" date ", text))
    for pattern, spelled in _FRACTION:
        text = pattern.sub(spelled, text)
    text = _DOTTED.sub(lambda found: "".join(filter(None, found.groups())), text)
    text = re.sub(r"\b(?:engine|motor)\s+speed\b", "rpm", text)
    text = re.sub(r"\bmi\s*/\s*h\b", "mph", re.sub(r"km\s*/\s*h", "kmh", text))
    text = _A_MINUTE.sub(" rpm ", text)
    text = re.sub(r"(?<=\d)(?:st|nd|rd|th)\b", "", text)
    text = re.sub(r"(?<=[a-z])[-'](?=[a-z])", " ", _LEFT_OUT.sub("", text))
    text = _TIMES.sub(" ", _FOR_TEMPERATURE.sub("temp ", text))
    text = _GLUE.sub(" ", text)
    found, cut = _WORD.findall(text), set(_CUT.findall(text))
    words = tuple(plain for word in found for plain in _parts(_plain(word, found, is_cut=word in cut)))
    if DISTANCES.isdisjoint(words):
        return words
    words = tuple(word for word in words if word in WORDS or word in FILLERS or len(word) > SHORT_UNIT)
    return tuple("time" if word == "clock" else word for word in words)  # to a distance it is no time of day


def _parts(word: str) -> tuple[str, ...]:
    """Take a word made of two known ones apart: ``luchttemp``, ``reaktionszeit``."""
    return (word,) if word in WORDS or len(word) < 2 * _least_part(word) else _compound(word) or (word,)


def _least_part(word: str) -> int:
    return LEAST_PART if word.isascii() else 1


@cache
def _compound(word: str) -> tuple[str, ...]:
    least = _least_part(word)
    for at in range(len(word) - least, least - 1, -1):
        first, second = word[:at], _SPELLED.get(word[at:])
        for joined in ("", "s", "en", "n"):
            plain = _SPELLED.get(first.removesuffix(joined)) if first.endswith(joined) else None
            if plain and second:
                return (plain, second) if plain != second else (plain,)
    return ()


def _plain(word: str, beside: list[str], *, is_cut: bool) -> str:
    if word in {"8", "4"} and len(beside) > 1:
        return "d660" if word == "8" else "d1320"
    if word in FILLERS or word.isdigit() or len(word) == 1:
        return _SPELLED.get(word, word)
    without = re.sub(r"^(?:ال|ה)(?=..)", "", word)  # an article that is written together with its word
    return (
        _SPELLED.get(word)
        or _SPELLED.get(without)
        or _shortened(word, is_cut=is_cut or not word.isascii())
        or word
    )


@cache
def _shortened(word: str, *, is_cut: bool) -> str | None:
    """Give the plain word that this is short for, or a slip of the pen of; None when it is not clear.

    Words of other languages count only where nothing at home begins so, and as long beginnings only; four
    letters are enough where a dot or a hyphen says that the word is cut short (``is_cut``).
    """
    if len(word) < LEAST_PART:
        return None
    known = _BEGINNING.get(word[0], {})  # whatever it is short for begins as it does
    if (plain := _only_one(word, known)) is not None or len(word) <= LEAST_PART:
        return plain
    if any(spelling.startswith(word) for spelling in known):
        return None
    others = _ABROAD_BEGINNING.get(word[0], {})
    is_long = len(word) >= LEAST_STEM or is_cut
    abroad = {plain for spelling, plain in others.items() if is_long and spelling.startswith(word)}
    if not abroad:
        abroad = {plain for spelling, plain in others.items() if _is_inflected(word, spelling)}
    return abroad.pop() if len(abroad) == 1 else None


def _is_inflected(word: str, spelling: str) -> bool:
    """Tell whether a word is a longer one of another language with an ending: ``kvarten``."""
    return (
        len(spelling) >= LEAST_STEM and word.startswith(spelling) and len(word) - len(spelling) <= LEAST_PART
    )


def _only_one(word: str, known: Mapping[str, str]) -> str | None:
    starts = {plain for spelling, plain in known.items() if spelling.startswith(word)}
    if len(starts) == 1:
        return starts.pop()
    compounds = {
        plain for spelling, plain in known.items() if len(spelling) >= 6 and word.startswith(spelling)
    }
    if len(compounds) == 1:
        return compounds.pop()
    bones = {
        plain
        for spelling, plain in known.items()
        if len(spelling) >= 5 and len(word) <= 5 and _is_bones(word, spelling)
    }
    if len(bones) == 1:
        return bones.pop()
    slips = {plain for spelling, plain in known.items() if len(word) >= 5 and _is_slip(word, spelling)}
    return slips.pop() if len(slips) == 1 else None


def _is_bones(short: str, whole: str) -> bool:
    """Tell whether the short word is the longer one with letters left out, vowels above all."""
    rest = iter(whole)
    kept = all(letter in rest for letter in short)
    return kept and sum(letter in "aeiou" for letter in short[1:]) <= 1


def _is_slip(word: str, spelling: str) -> bool:
    """Tell whether one letter is wrong, missing, doubled or out of turn."""
    if abs(len(word) - len(spelling)) > 1:
        return False
    if len(word) == len(spelling):
        differing = [at for at in range(len(word)) if word[at] != spelling[at]]
        return len(differing) == 1 or (
            len(differing) == 2
            and differing[1] == differing[0] + 1
            and word[differing[0]] == spelling[differing[1]]
            and word[differing[1]] == spelling[differing[0]]
        )
    longer, shorter = (word, spelling) if len(word) > len(spelling) else (spelling, word)
    return any(longer[:at] + longer[at + 1 :] == shorter for at in range(len(longer)))
