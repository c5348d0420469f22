"""Who raced in the other lane: how that run went says nothing of one's own, in any tongue.

A star stands for an ending. Pronouns are no such words: many write of their own driver or car as he or she.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

WORDS: Mapping[str, str] = {
    "English": "opponent* | opp | competitor* | rival* | neighbour* | neighbor* | lane next door"
        " | guy beside me | guy next to me | car beside me | car next to me",
    "German": "gegner* | nachbar* | nebenan | konkurrent* | andere bahn | anderen bahn | andere spur"
        " | anderen spur | andere seite | der andere",
    "Dutch": "tegenstander* | buurman* | andere baan | andere kant | de ander",
    "Afrikaans": "teenstander* | buurman* | ander baan | ander kant",
    "Swedish": "motståndar* | granne* | andra banan | andra sidan",
    "Norwegian and Danish": "motstander* | modstander* | nabo* | andre banen | anden bane | andre siden",
    "Icelandic": "andstæðing* | nágrann*",
    "French": "adversaire* | concurrent* | voisin* | l'autre | l’autre"
        " | autre couloir | autre piste | autre voie",
    "Spanish": "rival* | oponente* | contrincante* | adversari* | vecino*"
        " | el contrario | el otro | otro carril",
    "Portuguese": "adversári* | adversari* | oponente* | vizinho* | o outro | outra pista",
    "Italian": "avversari* | rivale | vicino di corsia | l'altro | l’altro | altra corsia",
    "Romanian": "adversar* | vecin* | celălalt | cealaltă",
    "Catalan": "adversari* | oponent* | contrincant* | l'altre | altre carril",
    "Polish": "przeciwnik* | rywal* | sąsiad* | sąsiedni* | drugi tor",
    "Czech and Slovak": "soupeř* | súper* | protivník* | soused* | sused*",
    "Croatian, Serbian and Slovene": "protivnik* | suparnik* | susjed* | komšij* | nasprotnik* | sosed*",
    "Russian and Ukrainian": "соперник* | противник* | сосед* | суперник* | сусід*",
    "Latvian and Lithuanian": "pretiniek* | kaimiņ* | varžov* | kaimyn*",
    "Finnish": "vastustaj* | naapuri* | viereis* | toinen rata | toinen kaista",
    "Estonian": "vastane | vastase* | naaber* | naabri*",
    "Hungarian": "ellenf* | szomszéd* | másik sáv* | másik autó",
    "Turkish": "rakip* | rakib* | komşu* | yan kulvar* | yan şerit*",
    "Greek": "αντίπαλο* | αντιπάλου | διπλαν*",
    "Welsh": "gwrthwyneb* | lôn arall",
    "Basque": "aurkari*",
    "Swahili": "mpinzani* | jirani",
    "Indonesian, Malay and Filipino": "lawan* | musuh | kalaban",
    "Japanese": "隣 | 相手 | 対戦",
    "Chinese": "对手 | 對手 | 隔壁 | 旁道 | 邻道",
    "Korean": "상대 | 옆 차 | 옆 레인 | 옆차",
    "Thai": "คู่แข่ง | เลนข้าง",
    "Arabic": "الخصم | خصم | منافس | المنافس",
    "Hebrew": "יריב | היריב | השכן",
    "Persian": "حریف | رقیب",
}  # fmt: skip
"""Language -> its words."""
_ENGLISH = (
    r"(?:other|next|far|opposite|adjacent) (?:lane|car|guy|side|driver|fell(?:a|ow)|bloke|racer|chap|lad)"
)
_FULL_WIDTH = r"\u3040-\u30ff\u4e00-\u9fff\uac00-\ud7af\u0e00-\u0e7f"
_ANY = "|".join(
    re.escape(word).replace(r"\*", r"\w*")
    for word in sorted({word for words in WORDS.values() for word in words.split(" | ")}, key=len)[::-1]
)
_WHO = rf"(?:(?<!\w)|(?<=[{_FULL_WIDTH}]))(?:{_ENGLISH}|{_ANY})(?:(?!\w)|(?=[{_FULL_WIDTH}]))"
_BETWEEN = r"(?:['’]?s\b)?(?P<between>[^,.;:!?()/&+–—]*)"
_BEFORE = re.compile(rf"{_WHO}{_BETWEEN}$")
_AFTER = re.compile(rf"^\w*[\s-]*(?:\w+\s+){{0,3}}?{_WHO}")
_CAR = re.compile(
    r"^\w*\s*(?<!\w)(?:car|truck|pick-?up|van|bike|wagon|coupe|hatch(?:back)?|roadster|rail|dragster|one|auto|wagen|"
    r"voiture|coche|carro|macchina|bil|samochód|машина|машину)(?!\w)"
)
"""What is red and no light."""
_THEN = re.compile(
    r"(?<!\w)(?:and|but|so|then|und|aber|en|maar|et|mais|y|pero|e|mas|ma|och|men|og|ja|mutta|i|ale)(?!\w)"
)
MOST_BETWEEN = 3
"""So many words may stand between who raced and how that went."""


def is_of_another(text: str, start: int, end: int, outcome: str) -> bool:
    """Tell whether words for how a run went are said of the racer in the other lane.

    Parameters
    ----------
    text
        In small letters.
    start, end
        Where the words stand.
    outcome
        What they mean; a red light may also be said before whose it was.

    Examples
    --------
    >>> words = ("other lane went red", "隣は赤", "beat the red truck", "beat my neighbour but red")
    >>> [is_of_another(text, *re.search("red|赤", text).span(), "red light") for text in words]
    [True, True, True, False]
    """
    found = _BEFORE.search(text[:start])
    if found is not None:
        between = found["between"]
        return len(between.split()) <= MOST_BETWEEN and _THEN.search(between) is None
    return outcome == "red light" and any(said.match(text[end:]) for said in (_AFTER, _CAR))


def names_another(text: str) -> bool:
    """Tell whether a text names the racer in the other lane."""
    return re.search(_WHO, text.casefold()) is not None
