"""Lanes, kinds of barometer, and names that are spelled in several ways."""

from __future__ import annotations

import difflib
import re
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence

from pipeline.garage.spelling import KINDS_OF_STRIP, folded
from pipeline.ingest.pressure_words import KINDS

MOST_NAMES_COMPARED = 300
LONGEST_CODE = 4
_ASIDE = re.compile(r"\s*[(\[][^)\]]*[)\]]\s*$")
"""What somebody adds to a name: ``Tin Moose (dad)``."""
MOST_OF_A_NAME = 4
LEAST_BEGINNING = 4
"""Letters by which a longer word is known."""
LEAST_STEM, MOST_ENDING = 6, 2
"""Letters that two cases of one word share at least, and those behind them at most."""
_KIND = re.compile(
    rf"{KINDS_OF_STRIP}|way|race|drags?|track|car|auto"
    r"|piste|pista|bana|bane|baan|rata|tor|strecke|flugplatz|aerodrome|aérodrome|autodromo|autódromo|circuit"
)
"""What a strip or a car is, and not which."""
_LENGTHS = {"660", "1000", "1320", "201", "305", "402"}
"""Numbers in a strip's name that are its length, and do not tell it from another. [ft, m]"""
AT_ABROAD = "a|à|á|às|bei|mit|con|avec|com|med|ved|på|na|przy|při|pri|met|bij|op|cu|la|με|σε|στα|на|при"
"""What other tongues write for "at" between a time and its speed."""
SIDES: Mapping[str, tuple[str, str]] = {
    "English": ("l left lh 1 leftlane lane1", "r right rh 2 rightlane lane2"),
    "at sea": ("babord", "styrbord tribord"),
    "German": ("links li linkebahn linkespur linksbahn", "rechts re rechtebahn rechtespur rechtsbahn"),
    "Dutch": ("links linke linker linkerbaan linkebaan linksbaan linkerkant linkerrijbaan",
              "rechts rechter rechterbaan rechtebaan rechterkant rechterrijbaan"),
    "Afrikaans": ("links linkerbaan linkerkant", "regs regterbaan regterkant"),
    "French": ("g gauche gau gche couloirgauche coteg", "d droit droite dte drte couloirdroit coted"),
    "Spanish": ("izquierda izquierdo izq izqda izda carrilizquierdo",
                "derecha derecho der dcha dcho carrilderecho"),
    "Portuguese": ("e esquerda esquerdo esq pistaesquerda", "d direita direito dir pistadireita"),
    "Italian": ("sinistra sinistro sx corsiasinistra corsiasx", "destra destro dx corsiadestra corsiadx"),
    "Romanian": ("stânga stanga stg", "dreapta dr"),
    "Catalan": ("esquerra esq", "dreta dta"),
    "Swedish": ("v vänster vänstra vanster vanstra vän vä vänsterbana vänstrabanan",
                "h höger högra hoger hogra hög hö högerbana högrabanan"),
    "Norwegian and Danish": ("v venstre venstrebane venstrespor venstreside",
                             "h høyre højre hoyre hojre høy høj høyrebane højrebane høyrespor højrespor"),
    "Icelandic": ("vinstri vinstribraut", "hægri haegri hæg hægribraut"),
    "Finnish": ("v vasen vas vasemmalla vasenkaista vasenpuoli",
                "o oikea oik oikealla oikeakaista oikeapuoli"),
    "Estonian": ("vasak vasakul vasakrada", "parem paremal paremrada"),
    "Polish": ("lewy lewa lewe lew lewytor lewypas lewastrona",
               "p prawy prawa prawe praw prawytor prawypas prawastrona"),
    "Czech and Slovak": ("levá levý leva levy vlevo ľavá ľavý lavá lava lavy vľavo vlavo",
                         "pravá pravý prava pravy vpravo"),
    "Croatian, Serbian and Slovene": ("lijeva lijevo lijevi levo levi leva lijevatraka levatraka",
                                      "desna desno desni desnatraka"),
    "Hungarian": ("bal baloldal balsáv balpálya", "jobb jobboldal jobbsáv jobbpálya"),
    "Latvian and Lithuanian": ("kreisā kreisa kreisais kairė kaire kairys kairėje",
                               "labā laba labais dešinė desine dešinys dešinėje"),
    "Turkish": ("sol solkulvar solşerit", "sağ sag sağkulvar sağşerit"),
    "Greek": ("αριστερά αριστερη αριστερή αριστερα", "δεξιά δεξιή δεξια δεξ"),
    "Russian and Ukrainian": ("левая левый левое лев слева ліва лівий ліво ліворуч",
                              "правая правый правое прав права справа правий праворуч"),
    "Welsh": ("chwith", "dde"),
    "Basque": ("ezkerra ezker ezkerreko", "eskuina eskuin eskuineko"),
    "Swahili": ("kushoto", "kulia"),
    "Indonesian, Malay and Filipino": ("kiri jalurkiri lorongkiri kaliwa", "kanan jalurkanan lorongkanan"),
    "Japanese": ("左 左側 左レーン 左コース", "右 右側 右レーン 右コース"),
    "Chinese": ("左 左道 左边 左车道 左线", "右 右道 右边 右车道 右线"),
    "Korean": ("왼쪽 좌 좌측 왼쪽레인", "오른쪽 우 우측 오른쪽레인"),
    "Arabic": ("يسار اليسار الأيسر أيسر", "يمين اليمين الأيمن أيمن"),
    "Hebrew": ("שמאל שמאלי משמאל", "ימין ימני מימין"),
    "Persian": ("چپ سمتچپ", "راست سمتراست"),
    "Thai": ("ซ้าย เลนซ้าย ฝั่งซ้าย", "ขวา เลนขวา ฝั่งขวา"),
}  # fmt: skip
"""Language -> words for left and for right."""
_FURTHER = ("i", "o")
"""Single letters of several tongues."""
LANE_WORDS = {
    folded(word): lane
    for sides in (*SIDES.values(), _FURTHER)
    for lane, words in zip(("left", "right"), sides, strict=True)
    for word in words.split()
}
_PAIRS = ("lr", "lp", "vh", "vo", "gd", "ed", "id", "左右", "ld", "sd", "bj", "vp", "cd", "лп", "αδ", "좌우")
"""Letters for left and right, a tongue each."""
_KEYS_BESIDE = {"l": "kop;.,", "r": "etdf45"}
"""Keys that lie beside the two that most people write for a lane."""
_PRESSURE_KINDS = {
    "station": "station", "stn": "station", "absolute": "station", "abs": "station", "actual": "station",
    "uncorrected": "station", "raw": "station", "altimeter": "altimeter", "alt": "altimeter",
    "sealevel": "altimeter", "slp": "altimeter", "corrected": "altimeter", "airport": "altimeter",
    "qnh": "altimeter", "qfe": "station", "radio": "altimeter", "setting": "altimeter",
    "altimetersetting": "altimeter",
}  # fmt: skip
_WHOLLY = {kind: re.compile(rf"(?i)\W*(?:{said.pattern})\w*\W*") for kind, said in KINDS.items()}


def lane_words(times: Mapping[str, int]) -> dict[str, str]:
    """Return the words for a lane that a logbook uses: of single letters only those of one tongue.

    Parameters
    ----------
    times
        How often each text stands for a lane.

    Examples
    --------
    >>> words = lane_words({"L": 9, "R": 8, "E": 1})
    >>> words["l"], "e" in words, lane_words({"E": 9, "D": 7})["e"]
    ('left', False, 'left')
    """
    letters = Counter[str]()
    for text, count in times.items():
        letters[folded(text)] += count
    usual = max(_PAIRS, key=lambda pair: sum(letters[letter] for letter in pair))
    whole = {word: lane for word, lane in LANE_WORDS.items() if len(word) > 1 or word in {"1", "2"}}
    return whole | dict(zip(usual, ("left", "right"), strict=True))


def close_lane(text: str) -> str | None:
    """Return the lane that a mistyped word was meant as: the next key, or a letter wrong; None when unclear.

    Examples
    --------
    >>> close_lane("K"), close_lane("Rihgt"), close_lane("B")
    ('left', 'right', None)
    """
    own = folded(text)
    if len(own) == 1:
        beside = {LANE_WORDS[key] for key, keys in _KEYS_BESIDE.items() if own in keys}
    else:
        beside = {LANE_WORDS[word] for word in difflib.get_close_matches(own, LANE_WORDS, n=2, cutoff=0.7)}
    return beside.pop() if len(beside) == 1 else None


def read_pressure_kind(text: str) -> str | None:
    """Return ``station`` or ``altimeter``; None when neither is said.

    Examples
    --------
    >>> read_pressure_kind("QNH"), read_pressure_kind("vor Ort"), read_pressure_kind("poziom morza")
    ('altimeter', 'station', 'altimeter')
    """
    said = (kind for kind, whole in _WHOLLY.items() if whole.fullmatch(text))
    return _PRESSURE_KINDS.get(folded(text)) or next(said, None)


def read_names(texts: Iterable[str], known: Mapping[str, Iterable[str]]) -> dict[str, tuple[str, str | None]]:
    """Match the spellings of cars or strips to the names of ``garage.toml``.

    Parameters
    ----------
    texts
        Distinct texts as typed.
    known
        Name in ``garage.toml`` -> its other spellings; may be empty.

    Returns
    -------
    dict
        Text -> (name, None) when it is clear or quite another name, or (text, likely name) when it
        is close to a known one and so perhaps a slip of the pen.

    Notes
    -----
    Names with different digits are different names, however close: "Car 1" is not "Car 2". A few of its words
    or letters are a name's when they are no other's: "Mill Run" or "MLR" for "Mill Run Dragway".
    """
    spelled = {folded(text): name for name, also in known.items() for text in (name, *also)}
    texts = list(texts)
    short = _short_for([text for text in texts if folded(text) not in spelled], known)
    found: dict[str, tuple[str, str | None]] = {}
    for text in texts:
        own = folded(text)
        own = own if own in spelled else folded(_ASIDE.sub("", text)) or own
        if own in spelled or text in short:
            found[text] = (spelled.get(own) or short[text], None)
            continue
        close = _closest(own, spelled)
        found[text] = (text.strip(), None if close is None else spelled[close])
    return found


def _short_for(texts: Sequence[str], known: Mapping[str, Iterable[str]]) -> dict[str, str]:
    """Return the names that some texts are short for: words of one alone, or letters, one code a name."""
    found = {
        text: name
        for text in texts
        if (name := name_of_words(text, known) or _aside_of(text, known)) is not None
    }
    codes: dict[str, str] = {}
    for code in {text.strip() for text in texts if text not in found}:
        own = [name for name in known if _has_letters(name, code)]
        if len(own) == 1:
            codes[code] = own[0]
    clear = {code for code, name in codes.items() if list(codes.values()).count(name) == 1}
    return found | {text: codes[text.strip()] for text in texts if text.strip() in clear}


def _aside_of(text: str, known: Iterable[str]) -> str | None:
    """Return the name that stands in brackets behind the same in other letters: ``朝霧(Asagiri)``."""
    aside = _ASIDE.search(text)
    return name_of_words(aside[0].strip(" ()[]"), known) if aside else None


def name_of_words(text: str, known: Iterable[str]) -> str | None:
    """Return the name of which a text is a few words or their beginnings; None when it is no one's own.

    Examples
    --------
    >>> name_of_words("Ste-Orge", ("Piste de Sainte-Orge", "Val Moreau"))
    'Piste de Sainte-Orge'
    >>> name_of_words("3 Elms", ("Three Elms Dragway",)), name_of_words("Gt. Oak", ("The Great Oak Strip",))
    ('Three Elms Dragway', 'The Great Oak Strip')
    >>> name_of_words("Q. Honda", ("Pista Quebrada Honda", "Loma Seca"))
    'Pista Quebrada Honda'
    >>> name_of_words("Carver Jct", ("Carver Junction 1320", "Carver Hill"))
    'Carver Junction 1320'
    """
    own = [name for name in known if _has_words(name, text)]
    whole = max(own, key=len, default="")  # two spellings of one name, the kind of place left off one
    return whole if own and all(folded(whole).startswith(folded(name)) for name in own) else None


def name_within(text: str, known: Sequence[str], is_other: Callable[[str], bool]) -> str | None:
    """Find the one name of which some words that stand together in a text are most.

    Parameters
    ----------
    text
        Such as a line of notes.
    known
        Names.
    is_other
        Whether a word says something else, so that it is no name by itself.

    Examples
    --------
    >>> name_within("ran 3 at Quarry Rd, 1.44", ("Quarry Road Dragway", "Mill Run"), lambda word: False)
    'Quarry Road Dragway'
    """
    words = re.findall(r"[^\W\d_]+", text)
    own = {word for name in known for word in _words(name)}
    for count in range(MOST_OF_A_NAME, 0, -1):
        found = set()
        for at in range(len(words) - count + 1):
            span = words[at : at + count]
            if count == 1 and (len(span[0]) < LEAST_BEGINNING or span[0].casefold() not in own):
                continue
            if not all(map(is_other, span)) and (name := name_of_words(" ".join(span), known)):
                found.add(name)
        if found:
            return found.pop() if len(found) == 1 else None
    return None


def _words(text: str) -> list[str]:
    return [word.casefold() for word in re.findall(r"[^\W_]+", text)]


_SAID_NUMBERS = [
    {str(number), word}
    for number, word in enumerate(("one", "two", "three", "four", "five", "six", "seven", "eight", "nine"), 1)
]


def _is_word_for(short: str, whole: str, *, is_cut: bool = False) -> bool:
    """Tell whether a word is another one, its beginning, or some letters of it: ``Ste`` for ``Sainte``.

    One that is cut, such as one with a full stop behind it, may be any letters from the first on: ``Tj.`` for
    ``Tanjung``.
    """
    least = LEAST_BEGINNING if short.isascii() else 2
    if short == whole or (len(short) >= least and whole.startswith(short)):
        return True
    if {short, whole} in _SAID_NUMBERS:
        return True
    rest = iter(whole)
    has_ends = len(short) in (2, 3) and whole[0] + whole[-1] == short[0] + short[-1]
    has_ends = has_ends or (is_cut and 1 < len(short) < len(whole) - 1 and whole[0] == short[0])
    return has_ends and len(whole) > len(short) and all(letter in rest for letter in short)


def _is_declined(word: str, whole: str) -> bool:
    """Tell whether two words are one in two cases: ``Kaislaniemi``, of which ``Kaislaniemen`` is said."""
    shorter = min(len(word), len(whole))
    stem = next((at for at in range(shorter) if word[at] != whole[at]), shorter)
    return stem >= LEAST_STEM and len(word) - stem <= MOST_ENDING and len(whole) - stem <= MOST_ENDING + 1


def _has_words(name: str, text: str) -> bool:
    """Tell whether a text is words of a name that stand together there; what is left out has no digit.

    Beside a whole word of the name others may be cut without a full stop: ``Pelt Lk`` for ``Pelt Lake``.
    """
    whole, own = _words(name), _words(text)
    cut = {word.casefold() for word in re.findall(r"([^\W\d_]+)\.", text)}
    says_one = any(
        len(word) >= LEAST_BEGINNING and word in whole and not _KIND.fullmatch(word) for word in own
    )
    places = [
        at
        for at in range(len(whole) - len(own) + 1)
        if own
        and all(
            _is_word_for(word, whole[at + which], is_cut=word in cut or (word not in whole and says_one))
            or (len(own) > 1 and len(word) == 1 and whole[at + which].startswith(word))
            or (len(whole) > len(own) and _is_declined(word, whole[at + which]))
            for which, word in enumerate(own)
        )
    ]
    says_more = any(
        not word.isascii()
        or ((word in whole or len(word) >= LEAST_BEGINNING) and len(word) > 2 and not _KIND.fullmatch(word))
        for word in own
    )
    begins = bool(own) and own == whole[: len(own)] and not any(map(_KIND.fullmatch, own))
    left = whole[: places[0]] + whole[places[0] + len(own) :] if places else whole
    return (
        bool(places)
        and (says_more or begins)
        and not any(letter.isdigit() for word in left if word not in _LENGTHS for letter in word)
    )


def _has_letters(name: str, code: str) -> bool:
    """Tell whether a code of a few capitals is letters of a name in their order, its first one first."""
    if not 1 <= len(code) <= LONGEST_CODE or not code.isalpha() or code != code.upper():
        return False
    own, letters = [folded(word) for word in name.split()], code.casefold()
    starts = (0, *(at for at, word in enumerate(own) if at and len(own[0]) <= 3 and word[:1] == letters[0]))
    for start in starts:
        rest = iter("".join(own[start:]))
        if own[start][:1] == letters[0] and all(letter in rest for letter in letters):
            return True
    return False


def _closest(own: str, others: Iterable[str]) -> str | None:
    """Find the folded name closest to another with the same digits; None when none is close."""
    alike = [other for other in others if re.sub(r"\D", "", other) == re.sub(r"\D", "", own)]
    close = difflib.get_close_matches(own, alike, n=1, cutoff=0.78)
    return close[0] if close else None


def merged_spellings(times: Mapping[str, int]) -> tuple[dict[str, int], dict[str, str]]:
    """Bring spellings that differ in case, spaces and punctuation only to the most frequent of them.

    Returns
    -------
    tuple
        Rows by chosen spelling, and the chosen spelling of every other one.

    Examples
    --------
    >>> merged_spellings({"Cinder Flats": 9, "cinder flats": 1, "Harrow Lane": 4})
    ({'Cinder Flats': 10, 'Harrow Lane': 4}, {'cinder flats': 'Cinder Flats'})
    """
    chosen: dict[str, str] = {}
    totals: dict[str, int] = {}
    others: dict[str, str] = {}
    for text in sorted(times, key=lambda text: (-times[text], text)):
        first = chosen.setdefault(folded(text), text)
        totals[first] = totals.get(first, 0) + times[text]
        if first != text:
            others[text] = first
    return totals, others


def close_pairs(times: Mapping[str, int]) -> list[tuple[str, str]]:
    """Pair each name with the closest more frequent one, where one is close; none past 300 names.

    Examples
    --------
    >>> close_pairs({"Cinder Flats": 9, "Cinder Flat": 2, "Harrow Lane": 4, "Car 1": 9, "Car 2": 3})
    [('Cinder Flat', 'Cinder Flats')]
    """
    if len(times) > MOST_NAMES_COMPARED:
        return []
    by_folded: dict[str, str] = {}
    pairs = []
    for name in sorted(times, key=lambda name: (-times[name], name)):
        more = {own: other for own, other in by_folded.items() if times[other] > times[name]}
        close = _closest(folded(name), more)
        if close is not None:
            pairs.append((name, more[close]))
        by_folded[folded(name)] = name
    return pairs
