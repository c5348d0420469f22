"""Words with which a line begins that sums others up."""

from __future__ import annotations

import re
from collections.abc import Sequence

_TOTALS = (
    r"(?:sub-?)?totals?|averages?|avg|ave?\.?(?=\W*$)|mean|best|worst|sum|min|max|median|count|durchschnitt"
    r"|mittel(?:wert)?|promedio|m[ée]dia|medel(?:v[äa]rde)?|ka\.|keskiarvo|srednia|średnia|śr|najl\w*|gemiddeld\w*"
    r"|gjennomsnitt|snitt?|gem|me[jlh]+or[ei]?|migliore|schnitt|moyenne|moy|bedst|b[äa]sta?|paras|najlepszy|beste?|[Øø∅Σ]|x̄|gjsn|átlag"
    r"|sum(?:m[ae])?|suma|somme|(?:[^\W\d_]+ )?yhteens[äa]|totalt|i alt|totaal|totale"
    r"|pr[ůu]m\w*|ortalama|toplam|keskim\w*|среднее|ср|итого|μέσος|μ\.ό\.|المتوسط|平均|合計|最高|평균"
)
TOTAL = re.compile(
    rf"(?i)^(?:(?:grand|day|daily|meet|season|year)[ -])?(?:{_TOTALS})(?!\w)(?!.*\b(?:pass|run)\b.*\d:\d)"
)
"""What a line begins with that sums others up."""


def sums_up(cells: Sequence[str]) -> bool:
    """Tell whether a line begins with a word for a sum of others, or holds one beside a number or two."""
    filled = [text for text in cells if text]
    return any(TOTAL.match(text) for text in (filled if len(filled) <= 3 else filled[:1]))
