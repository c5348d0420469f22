"""How settings are said to stay or to change, a language at a time, so that a speaker can check one.

``same``: nothing was changed; ``up``, ``down``: something was added, taken away; ``to``: the value follows;
``ditto``: the same as in the line above. Words between upright lines, whole; a star stands for an ending.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

CHANGES: Mapping[str, Mapping[str, str]] = {
    "German": {
        "same": "wie oben | wie vor | wie zuvor | wie gehabt | gleich* | unverändert | dasselbe | "
            "keine änderung | bleibt",
        "up": "mehr | rauf | hoch | höher | erhöht | dazu | drauf | zugelegt | reingedreht",
        "down": "weniger | runter | tiefer | gesenkt | raus | rausgenommen | rausgedreht | abgenommen | "
            "reduziert | zurückgenommen",
        "to": "auf",
        "ditto": "ebenso | desgl | dgl | s.o | wie oben | wie vor",
    },
    "Dutch": {
        "same": "zelfde | hetzelfde | dezelfde | ongewijzigd | onveranderd | geen wijziging",
        "up": "meer | erbij | omhoog | verhoogd | bijgedraaid | toegevoegd",
        "down": "minder | eraf | omlaag | verlaagd | teruggedraaid | weggehaald",
        "to": "naar | op",
        "ditto": "idem | als boven | als hierboven | zie boven",
    },
    "Afrikaans": {
        "same": "dieselfde | onveranderd | geen verandering",
        "up": "meer | op gestel | bygevoeg | verhoog",
        "down": "minder | af gestel | verlaag | uitgehaal",
        "to": "na",
        "ditto": "soos bo",
    },
    "Swedish": {
        "same": "samma | samma som ovan | likadant | oförändrat | oförändrad | ingen ändring",
        "up": "mer | upp | höjde | höjt | ökade | ökat | la till | lade till | lagt till",
        "down": "ner | sänkte | sänkt | minskade | minskat | mindre | tog bort | tagit bort",
        "to": "till",
        "ditto": "d:o | som ovan",
    },
    "Norwegian and Danish": {
        "same": "samme | samme som over | uendret | uændret | ingen endring | ingen ændring",
        "up": "mer | mere | opp | økt | økte | øget | øgede | hevet | hævet | la på | lagt på | lagde på",
        "down": "mindre | senket | redusert | sænket | sænkede | reduceret | fjernet | tok av | tog af",
        "to": "til",
        "ditto": "d:o | som ovenfor | som over",
    },
    "Icelandic": {
        "same": "sama | óbreytt | sama og áður",
        "up": "meira | hækkað | hækkaði | bætt við | bætti við",
        "down": "minna | lækkað | lækkaði | tekið af | tók af",
        "to": "í | upp í",
        "ditto": "sama og að ofan",
    },
    "French": {
        "same": "même | la même | le même | meme | même chose | pareil | inchangé | inchangée | "
            "sans changement | rien changé | identique",
        "up": "plus | monté | ajouté | rajouté | augmenté | remis",
        "down": "moins | baissé | enlevé | retiré | diminué | descendu",
        "to": "à",
        "ditto": "idem | comme dessus | comme ci-dessus | ci-dessus",
    },
    "Spanish": {
        "same": "igual | igual que antes | mismo | lo mismo | sin cambio | sin cambios",
        "up": "más | subí | subió | subido | subimos | aumenté | aumentó | agregué | agregó | agregado",
        "down": "menos | bajé | bajó | bajado | bajamos | quité | quitó | quitado | reduje | redujo",
        "to": "hasta",
        "ditto": "ídem | idem | como arriba",
    },
    "Portuguese": {
        "same": "mesmo | o mesmo | mesma | sem mudança | sem mudanças | sem alteração | inalterado | "
            "manteve",
        "up": "mais | subi | subiu | aumentei | aumentou | acrescentei | acrescentou",
        "down": "menos | baixei | baixou | abaixei | abaixou | tirei | tirou | reduzi | diminuí | "
            "diminuiu",
        "to": "para | pra | até",
        "ditto": "idem | como acima",
    },
    "Italian": {
        "same": "stesso | lo stesso | stessa | uguale | invariato | invariata | come prima | "
            "nessuna modifica",
        "up": "più | alzato | alzata | aumentato | aggiunto | salito | messo in più",
        "down": "meno | abbassato | abbassata | tolto | diminuito | ridotto | sceso | levato",
        "to": "fino a",
        "ditto": "idem | come sopra | c.s",
    },
    "Romanian": {
        "same": "la fel | neschimbat | fără schimbări | același",
        "up": "mai mult | crescut | mărit | adăugat | ridicat cu",
        "down": "mai puțin | scăzut | micșorat | scos | redus",
        "to": "până la",
        "ditto": "idem | ca mai sus",
    },
    "Catalan": {
        "same": "el mateix | igual | sense canvis",
        "up": "més | pujat | afegit | augmentat",
        "down": "menys | baixat | tret | reduït",
        "to": "fins a",
        "ditto": "ídem | com a dalt",
    },
    "Polish": {
        "same": "tak samo | to samo | bez zmian | jak było | jak poprzednio",
        "up": "więcej | podniesiono | podniosłem | dodano | dodałem | zwiększono | zwiększyłem | "
            "dołożono | dołożyłem | w górę",
        "down": "mniej | obniżono | obniżyłem | odjęto | odjąłem | zdjęto | zdjąłem | zmniejszono | "
            "zmniejszyłem | w dół",
        "to": "na | do",
        "ditto": "jw | j.w | j/w | jak wyżej",
    },
    "Czech and Slovak": {
        "same": "stejně | stejné | stejný | stejne | beze změny | beze změn | bez zmeny | bez zmien | "
            "rovnaké | rovnako | to samé",
        "up": "více | víc | přidáno | přidal | zvýšeno | nahoru | viac | pridané | pridal | zvýšené",
        "down": "méně | míň | ubráno | ubral | sníženo | dolů | menej | ubrané | znížené | dole",
        "to": "na",
        "ditto": "dtto | viz výše | jako výše | totéž | ako vyššie",
    },
    "Croatian, Serbian and Slovene": {
        "same": "isto | nepromijenjeno | nepromenjeno | bez promjene | bez promene | enako | "
            "nespremenjeno | brez sprememb",
        "up": "više | dodano | dodao | dodato | povećano | povećao | več | povečano | dodal",
        "down": "manje | smanjeno | smanjio | oduzeto | skinuo | skinuto | manj | zmanjšano | odvzeto",
        "to": "na",
        "ditto": "isto | kao gore | kot zgoraj",
    },
    "Russian and Ukrainian": {
        "same": "так же | то же | то же самое | без изменений | без змін | те саме | не менял* | "
            "не міняв*",
        "up": "больше | добавил* | прибавил* | поднял* | увеличил* | вверх | більше | додав* | додали | "
            "підняв* | збільшив*",
        "down": "меньше | убавил* | снял* | убрал* | уменьшил* | снизил* | вниз | менше | зняв* | "
            "прибрав* | зменшив*",
        "to": "на | до",
        "ditto": "тоже | то же | то ж | так же | т.ж | те саме",
    },
    "Latvian and Lithuanian": {
        "same": "tas pats | bez izmaiņām | nemainīts | nepakeista | nepakeistas | be pakeitimų | "
            "toks pat",
        "up": "vairāk | palielināts | pielikts | pieliku | daugiau | padidinta | pridėta | pridėjau",
        "down": "mazāk | samazināts | noņemts | noņēmu | mažiau | sumažinta | nuimta | nuėmiau",
        "to": "līdz | iki",
        "ditto": "tas pats | t.p | ten pat | kaip aukščiau",
    },
    "Finnish": {
        "same": "sama | ennallaan | ei muutosta | ei muutoksia | muuttumaton | samat",
        "up": "lisää | enemmän | nostettu | nostin | lisätty | lisäsin | ylös",
        "down": "vähemmän | laskettu | laskin | poistin | poistettu | vähennetty | vähensin | alas",
        "ditto": "kuten yllä | ks. yllä | sama kuin yllä",
    },
    "Estonian": {
        "same": "sama | samad | muutmata | muutuseta | ei muutnud",
        "up": "rohkem | juurde | lisatud | lisasin | tõstsin | tõstetud",
        "down": "vähem | langetatud | langetasin | võtsin maha | võetud maha",
        "ditto": "sama | nagu üleval",
    },
    "Hungarian": {
        "same": "ugyanaz | ugyanannyi | változatlan | nem változott | maradt",
        "up": "több | feljebb | emeltem | emelve | növeltem | növelve | hozzáadva | hozzáadtam | raktam",
        "down": "kevesebb | lejjebb | csökkentettem | csökkentve | levéve | levettem | elvettem",
        "ditto": "u.a | ua | dettó | detto | mint fent",
    },
    "Turkish": {
        "same": "aynı | değişmedi | değişiklik yok",
        "up": "artırdım | artırıldı | eklendi | ekledim | fazla | arttı | yükselttim",
        "down": "azalttım | azaltıldı | düşürdüm | düşürüldü | çıkardım | eksik | eksilttim",
        "ditto": "aynı | yukarıdaki gibi",
    },
    "Greek": {
        "same": "ίδιο | ίδια | το ίδιο | χωρίς αλλαγή | αμετάβλητο",
        "up": "περισσότερο | πάνω | ανέβασα | ανέβηκε | πρόσθεσα | αύξησα",
        "down": "λιγότερο | κάτω | κατέβασα | αφαίρεσα | έβγαλα | μείωσα",
        "to": "σε | στις | στα",
        "ditto": "ομοίως | το ίδιο | όπως πάνω",
    },
    "Welsh": {
        "same": "yr un peth | yr un | dim newid",
        "up": "mwy | codwyd | ychwanegu | ychwanegwyd",
        "down": "llai | gostwng | gostyngwyd | tynnwyd",
        "ditto": "eto | fel uchod",
    },
    "Basque": {
        "same": "berdin | aldaketarik ez",
        "up": "gehiago | igo | gehitu",
        "down": "gutxiago | jaitsi | kendu",
        "ditto": "berdin | goikoa bezala",
    },
    "Swahili": {
        "same": "vile vile | hakuna mabadiliko | ileile",
        "up": "zaidi | ongeza | niliongeza | imeongezwa",
        "down": "pungufu | punguza | nilipunguza | imepunguzwa",
        "ditto": "kama juu",
    },
    "Indonesian, Malay and Filipino": {
        "same": "sama saja | tetap | tidak berubah | tak berubah | pareho | walang pagbabago",
        "up": "naik | naikkan | dinaikkan | tambah | ditambah | dagdag | dinagdagan | itinaas",
        "down": "turun | turunkan | diturunkan | kurang | kurangi | dikurangi | bawas | binawasan | "
            "ibinaba",
        "to": "ke | hingga | sampai",
        "ditto": "sda | s.d.a | sama di atas | katulad sa itaas",
    },
    "Japanese": {
        "same": "変更なし | 同じ | 変わらず | 変更無し | そのまま",
        "up": "増やした | 増し | 上げ | 上げた | 追加 | 足した",
        "down": "減らした | 減 | 下げ | 下げた | 外した | 抜いた",
        "ditto": "同上 | 同じ | 〃",
    },
    "Chinese": {
        "same": "不变 | 没变 | 相同 | 一样 | 未变 | 没改",
        "up": "增加 | 加 | 加了 | 提高 | 上调",
        "down": "减少 | 减 | 减了 | 降低 | 下调",
        "ditto": "同上",
    },
    "Korean": {
        "same": "변경 없음 | 동일 | 그대로 | 같음",
        "up": "올림 | 추가 | 증가 | 늘림",
        "down": "내림 | 감소 | 줄임 | 뺌",
        "ditto": "상동 | 위와 같음",
    },
    "Thai": {
        "same": "เท่าเดิม | เหมือนเดิม | ไม่เปลี่ยน",
        "up": "เพิ่ม | ขึ้น",
        "down": "ลด | ลง",
        "to": "เป็น",
        "ditto": "เช่นเดียวกัน",
    },
    "Arabic": {
        "same": "نفسه | نفس الشيء | بدون تغيير | كما هو",
        "up": "زيادة | زدت | أضفت | رفعت",
        "down": "نقصت | تخفيض | خفضت | أزلت",
        "to": "إلى",
        "ditto": "كما سبق | نفسه",
    },
    "Hebrew": {
        "same": "ללא שינוי | אותו דבר | בלי שינוי",
        "up": "הוספתי | העליתי | יותר",
        "down": "הורדתי | פחות | הסרתי",
        "ditto": "כנ\"ל | כנ״ל",
    },
    "Persian": {
        "same": "همان | بدون تغییر | ثابت",
        "up": "بیشتر | اضافه | افزایش",
        "down": "کمتر | کاهش | کم کردم",
        "ditto": "ایضا | همان",
    },
}  # fmt: skip
"""Language -> what is said -> its words."""


ROMANCE = ("French", "Spanish", "Portuguese", "Italian", "Romanian", "Catalan")


def said_abroad(what: str, languages: Iterable[str] = tuple(CHANGES)) -> list[str]:
    """Give patterns for the words of some languages that say one thing, longer ones first."""
    words = {word for name in languages for word in CHANGES[name].get(what, "").split(" | ") if word}
    ordered = sorted(words, key=lambda own: (-len(own), own))
    return [re.escape(word).replace(r"\*", r"\w*") for word in ordered]
