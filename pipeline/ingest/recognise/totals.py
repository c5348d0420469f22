"""Words with which a line begins that sums others up."""

from __future__ import annotations

import re
from collections.abc import Sequence

_IN_LANGUAGES = r"""
English: (?:sub-?)?totals? averages? avg ave?\.?(?=\W*$) mean best worst sum min max median count
German: zwischensumme durchschnitt schnitt mittel(?:wert)? summe gesamt beste[rs]? schlechteste[rs]? anzahl
French: sous-total moyenne moy somme totaux meilleur[es]? pire
Spanish: promedio prom\. m[ée]dia mejor(?:es)? peor suma
Portuguese: m[ée]dia melhor(?:es)? pior soma
Italian: media migliore? miglior peggiore somma totale
Romanian: medie media suma cel\s+mai\s+bun total
Catalan: mitjana millor pitjor suma
Dutch: gemiddeld\w* gem beste? slechtste totaal
Afrikaans: gemiddeld\w* beste totaal
Swedish: medel(?:v[äa]rde)? snitt genomsnitt b[äa]sta? s[äa]mst summa totalt
Norwegian: gjennomsnitt gjsn snitt? beste? d[åa]rligst sum totalt i\s+alt
Danish: gennemsnit gns bedste? samlet i\s+alt
Icelandic: meðaltal samtals besti besta alls
Finnish: keskiarvo keskim\w* ka\. paras huonoin (?:[^\W\d_]+\s)?yhteens[äa]
Estonian: keskmine kokku parim
Polish: [śs]rednia śr sr\. najl\w* razem suma og[óo][łl]em łącznie
Czech: pr[ůu]m\w* celkem nejlepší součet
Slovak: priemer spolu najlepší súčet
Croatian: prosjek prosek ukupno najbolj[ie]
Slovene: povprečje skupaj najboljši
Latvian: vidējais kopā labākais
Lithuanian: vidurkis iš\s+viso geriausias
Hungarian: [áa]tlag összesen legjobb
Russian: среднее ср итого всего лучший лучшее
Ukrainian: середнє всього разом найкращий
Turkish: ortalama toplam en\s+iyi
Greek: μέσος\s+όρος μέσος μ\.ό\. σύνολο καλύτερος?
Welsh: cyfartaledd cyfanswm gorau
Basque: batezbestekoa guztira onena
Swahili: wastani jumla
Indonesian: rata-rata purata jumlah terbaik kabuuan
Japanese: 平均 合計 最高 最低 ベスト
Chinese: 平均 合计 总计 最佳
Korean: 평균 합계 최고
Arabic: المتوسط متوسط المجموع مجموع الأفضل
Hebrew: ממוצע סה״כ סה"כ הטוב
Persian: میانگین مجموع جمع بهترین
Marks: [Øø∅Σ] x̄
"""
_TOTALS = "|".join(
    word for line in _IN_LANGUAGES.strip().splitlines() for word in line.partition(": ")[2].split()
)
TOTAL = re.compile(
    rf"(?i)^(?:(?:grand|day|daily|week|weekly|month|meet|event|season|year)[ -])?(?:{_TOTALS})(?!\w)"
    r"(?!.*\b(?:pass|run)\b.*\d:\d)"
)
"""What a line begins with that sums others up."""


def sums_up(cells: Sequence[str]) -> bool:
    """Tell whether a line begins with a word for a sum of others, or holds one beside a number or two."""
    filled = [text for text in cells if text]
    return any(TOTAL.match(text) for text in (filled if len(filled) <= 3 else filled[:1]))
