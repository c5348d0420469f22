"""Words with which a line begins that sums others up."""

from __future__ import annotations

import re

_TOTALS = (
    r"(?:sub-?)?totals?|averages?|avg|ave?\.?(?=\W*$)|mean|best|worst|sum|min|max|median|count|durchschnitt"
    r"|mittel(?:wert)?|promedio|m[ée]dia|medel(?:v[äa]rde)?|ka\.|keskiarvo|srednia|średnia|gemiddeld\w*"
    r"|gjennomsnitt|snitt?|gem|me[jlh]+or[ei]?|migliore|schnitt|moyenne|moy|bedst|b[äa]sta?|paras|najlepszy|beste?|[Øø∅Σ]|x̄|gjsn|átlag"
    r"|sum(?:m[ae])?|suma|somme|(?:[^\W\d_]+ )?yhteens[äa]|totalt|i alt|totaal|totale"
    r"|pr[ůu]m\w*|ortalama|toplam|keskim\w*|среднее|ср|итого|μέσος|μ\.ό\.|المتوسط|平均|合計|最高|평균"
)
TOTAL = re.compile(
    rf"(?i)^(?:(?:grand|day|daily|meet|season|year)[ -])?(?:{_TOTALS})(?!\w)(?!.*\b(?:pass|run)\b.*\d:\d)"
)
"""What a line begins with that sums others up."""
