-- Purpose: outcomes as typed that are not the plain word, and notes that may tell one.
-- Grain: one row per outcome and notes.
select outcome, notes, count(*)::bigint as times
from rows_timeslips
where
    set_aside is null
    and (
        (outcome is not null and outcome <> 'clean' and not (outcome in ('spun', 'bogged', 'red light')))
        or (
            outcome is null
            and regexp_matches(
                notes,
                '(?i)\b(miss|lift|abort|brok|spun|spin|bog|red|foul|shut|coast|pedal|let off|dnf|smoke|haze)'
            )
        )
    )
group by outcome, notes
order by outcome, notes;
