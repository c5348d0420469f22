-- Purpose: outcomes as typed that are not the plain word, and notes that may tell one.
-- Grain: one row per outcome and notes.
select outcome, notes, count(*)::bigint as times
from rows_timeslips
where
    set_aside is null
    and (
        outcome not in ('clean', 'spun', 'bogged', 'red light')
        or case
            when outcome is null and notes is not null then regexp_matches(
                notes,
                '(?i)\b(miss|lift|abort|brok|spun|spin|bog|red|foul|shut|coast|pedal|let off|dnf|smoke|haze)'
            )
        end
    )
group by outcome, notes
order by outcome, notes;
