"""Beginnings of words for how a run went, in other tongues than English."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache

_BEGINNINGS: Mapping[str, tuple[str, ...]] = {
    "missed shift": (
        "schakelfout", "schaltfehler", "erreur de vitesse",
        "missad väx", "misset gir", "bommet gir", "シフトミス", "ミスシフト", "速ミス",
        "nezařadil", "elváltott",
        "falló", "loupé", "verschalt", "gang verpasst", "gang verfehlt", "gang nicht", "felväx",
        "missade tvåan", "missade trean", "missade fyran", "missade väx", "vaihde jäi", "nie wszed",
        "errou marcha", "errou a marcha", "errou a 2", "errou a 3", "errou a 4", "errei", "erró la",
        "fallo de cambio", "raté la", "raté le", "raté une", "raté mon", "vitesse ratée", "vitesse manquée",
        "manqué la", "manqué le", "manqué une", "manqué mon", "marcia mancata", "verschakeld",
        "misgeschakeld", "mis geschakeld", "gemist", "mistet gir", "misset gear", "fejlskift", "rat gemis",
        "käik vahele", "käiku ei", "vites kaç", "missti gír", "έχασα ταχ", "a ratat", "ratat treapta",
        "promašio brz", "promašena brz", "zgrešil prest", "не воткн", "промах", "передачу", "špatně zařad",
        "félrekapcs", "vaihtovirhe", "vaihde meni ohi", "virhevaihto", "zgubił bieg", "zły bieg",
        "sbagliat", "saltata la ", "cambiata mancata", "marcia sbagl", "no entró la", "se me fue la",
        "se botó la", "挂错", "挂挡", "变速失误", "변속", "salah gigi", "misgeskakel", "rat oorgeslaan",
        "gear missed", "skipting mist", "mistókst", "váltás elmar", "nem váltott", "vahele jä",
    ),
    "broke": (
        "haveri", "havari", "skar", "panne", "guasto", "故障", "破損", "壊れ", "prasklo", "porucha",
        "eltört", "defekt", "kaputt", "rompi", "poikki", "rikki", "hajos", "pękł", "urwa", "awari", "cassé",
        "quebr", "sönder", "trasig", "kapot", "rotto", "rotta", "roto", "rota", "estrag", "røk", "brakk",
        "ødelagt", "i stykker", "knækk", "stukkend", "gebreek", "katki", "purunes", "kırıl", "bozul",
        "arıza", "brotn", "bilað", "έσπασ", "χάλασ", "rupt", "stricat", "puknu", "slomi", "pokvar",
        "сломал", "поломк", "порвал", "зламал", "断", "损坏", "고장", "파손", "rusak", "patah", "rozbit",
        "rottur", "brisé", "bris de", "törés", "törött",
    ),
    "lifted": (
        "lâché", "アクセルオフ", "アクセル戻", "アクセルを抜", "ubral", "mollato", "gas weg", "vom gas",
        "levant", "levé le pied", "tirou o pé", "tirei o pé", "släppte", "lyfte", "odpuści", "nosti jala",
        "nostin jala", "gas los", "alzat", "slapp gas", "lettet", "slap gassen", "lettede", "van die gas",
        "lugstoot", "gaas maha", "võttis gaasi", "gazdan", "gaz kes", "sleppti", "άφησα το γκάζι",
        "άφησα γκάζι", "ridicat piciorul", "lăsat gazul", "pustio gas", "digao nogu", "spustil plin",
        "popustil", "сброс", "відпустив", "收油", "엑셀", "angkat gas", "pustil plyn", "elvettem a gáz",
        "gázelvétel", "levette a gáz", "sló af", "gaas lahti", "pedal sol", "solté", "soltó", "alivió",
        "aliviou", "lasketteli", "lättade",
        "gelupft", "losgelaten", "lift de gas", "lasciato il gas",
    ),
    "aborted": (
        "abandonn", "abgebr", "abortad",
        "中止", "中断", "přeruš", "megszak", "abbruch", "avbröt", "avbrut", "przerwan", "keskey", "annul",
        "interrump", "interromp", "abgebroch", "afgebroken", "abandon", "cancelad", "avbrøt", "afbrudt",
        "afbrød", "gestaak", "gestop", "katkest", "iptal", "yarıda", "hætti", "hætt við", "διακοπ",
        "ακύρωσ", "oprit",
        "întrerupt", "prekinut", "prekinil", "prekinjen", "прерв", "放弃", "중단", "포기", "dibatalkan",
        "batal", "avorté", "interrott",
    ),
    "bogged": (
        "bogué", "ボギ",
        "eingeknickt", "zu wenig drehzahl", "abgewürgt", "失速", "ストール", "ボグ", "zadusil", "fulladt",
        "lefullad",
        "hyytyi", "abgesoffen", "eingebrochen", "étouff", "calé", "caló", "afogou", "tvärdog", "ahog",
        "cayó de vueltas", "kyykk", "dök i varv", "zdławi", "zdusi", "zdech", "soffoc", "verzop", "sammu",
        "druknet", "kvælte", "kvalt", "døde i start", "versuip", "suri välja", "suri ära", "boğul", "kafn",
        "βούλιαξ", "έπνιξ", "πνίγ", "înecat", "ugušio", "zagušio", "zadušil", "захлеб", "заглох", "провал",
        "乏力", "熄火", "멈칫", "mbrebet", "utopil", "chcípl", "se quedó", "se cayó", "se apagó",
        "se ahogó", "engasg", "apagou", "morreu na", "piantat", "affogat", "seduto", "seduta", "ingezakt",
        "kvävdes", "storknade", "gekelderd", "mou au départ", "eingesackt", "abgestorben", "versoffen",
        "verreckt", "verschluckt", "tukehtui", "sakkasi", "ristiin",
    ),
    "spun": (
        "空転", "ホイールスピン", "スピン", "prokluz", "protočil", "kipörög", "kipörg", "durchgedreht",
        "durchdreh",
        "patin", "spann", "slira", "sutas", "sutaa", "suti", "buksowa", "ślizg", "doorgesl", "doorgesp",
        "slippte", "pattin", "spant", "spinn", "spinte", "hjulspin", "wielspin", "wielen spin", "slip,",
        "wielslip", "gespin", "kaapis", "libises", "spól", "σπινάρ", "σπίναρ", "prokliz", "zdrsn",
        "пробуксов", "букс", "打滑", "空转", "헛바퀴", "휠스핀", "selip", "gulung", "slitta", "destracion",
        "spatin", "gripó", "gummi gedreht", "räder drehten", "drehten durch", "tappade greppet", "kuopi",
        "luisti", "doorspin", "derrap", "uślizg", "uslizg", "megpörg", "elpörg",
    ),
    "red light": (
        "lumière rouge", "luce rossa", "luz roja", "luz vermelha",
        "rött ljus", "rødt", "faux-départ", "フライング", "赤", "レッド", "červen", "piros", "rotlicht",
        "frühstart", "fruehstart", "roja", "rojo", "faux départ", "feu rouge", "queimou", "tjuvstart",
        "rödljus", "punai", "czerwon", "vermelh", "rood", "rosso", "rossa", "falstart", "tyvstart",
        "rooi lig", "valestart", "punane", "kırmızı", "hatalı çıkış", "rautt", "þjófstart", "κόκκιν",
        "roșu", "fals start", "crven", "rdeč", "красн", "фальстарт", "фальш", "抢跑", "红灯", "부정출발",
        "파울", "lampu merah", "merah", "varasläht", "vroegstart", "valse start", "çıkış hata",
        "korai rajt", "předčasný start", "falso start", "saída queimada", "salida en falso", "rouge",
    ),
    "clean": (
        "regolar", "regular",
        "muy bien", "très bien", "sehr gut", "molto bene", "muito bem", "perfect", "prima", "良好", "正常",
        "クリーン", "良し", "čist", "tiszta", "sauber", "limpi", "limpa", "limpo", "gut", "dobr", "czyst",
        "propre", "belle passe", "correct", "pulit", "goed", "schoon", "helt ok", "puhdas", "puhtaasti",
        "hea sõit", "korras", "temiz", "hrein", "καθαρ", "curat", "v redu", "норм", "без замечаний", "чист",
        "干净", "きれい", "정상", "양호", "bersih", "netjes", "siist", "regelmatig", "super", "iawn",
    ),
}  # fmt: skip
_GOOD = (
    "ripper beauty mint bonza corker beaut ras bra bien bom boa bene hyvä bon bonne belle fin "
    "ren rent reen buena bueno buona buono nickel fint bine hea iyi "
    "dobro redu καλό καλή καλα хорошо норма gott jó jól rett nett poa safi vizuri ممتاز نظيف جيد"
)
_RED = "rot rood röd rött rød rødt rouge rosso roja rojo verm kırmızı"
_ALONE: Mapping[str, str] = dict.fromkeys([*_GOOD.split(), *"○◎◯✓✔√👍良可優+"], "clean") | dict.fromkeys(
    _RED.split(), "red light"
)
"""Whole entries, and how it went."""
_WITHOUT_BLANKS = r"(?<=[\u3040-\u30ff\u4e00-\u9fff])(?=[\u3040-\u30ff\u4e00-\u9fff])"
"""Between signs of tongues that put no blank between words a word may begin anywhere."""
_SPOILED = sorted(
    {re.escape(word) for name, words in _BEGINNINGS.items() if name != "clean" for word in words}
)
OTHER_TONGUES = rf"(?:^|[^\p{{L}}])(?:{'|'.join(_SPOILED)})"
"""The same for DuckDB, of which the letters before are none; notes say nothing of a clean run."""


@cache
def _beginnings(name: str) -> re.Pattern[str]:
    """Find where a word begins that says so: made when one stands somewhere, which few cells have."""
    return re.compile(rf"(?:\b|{_WITHOUT_BLANKS})(?:{'|'.join(map(re.escape, _BEGINNINGS[name]))})")


def in_other_tongues(spoken: str) -> str | None:
    """Find how a run went in words in small letters that are not English; None when nothing is said.

    Examples
    --------
    >>> in_other_tongues("nie wszedł 3 bieg"), in_other_tongues("途中で中止"), in_other_tongues("good")
    ('missed shift', 'aborted', None)
    """
    for name, words in _BEGINNINGS.items():
        if any(word in spoken for word in words) and _beginnings(name).search(spoken):
            return name
    first = re.split(r"[,;(]|\s[-–—]", spoken)[0]
    return _ALONE.get(first.strip(" .!"))
