-- Purpose: outcomes as typed that are not the plain word, and notes that may tell one.
-- Grain: one row per outcome and notes. $other_tongues: beginnings of words not English; null for none.
select outcome, notes, count(*)::bigint as times
from rows_timeslips
where
    set_aside is null
    and (
        outcome not in ('clean', 'spun', 'bogged', 'red light')
        or case
            when outcome is null and notes is not null then regexp_matches(
                notes,
                '(?i)\b(miss|hung|lost|flub|botch|neutral|gear|shift|fall|red|foul|jump|bro|bust|parts|snap|'
                || 'grenad|blew|let|click|roll|off|out|chop|gas|shut|finish|dnf|gave|abort|lift|coast|pedal|back|bog|'
                || 'fell|flat|pull|lazy|laid|nose|died|lug|stumbl|sp[ui]n|wheel|loose|haze|smok|fried|'
                || 'roast|boil|burn|lit|tire|tyre|traction|hook|grip|up in)'
            ) or regexp_matches(lower(notes), $other_tongues)
        end
    )
group by outcome, notes
order by outcome, notes;
