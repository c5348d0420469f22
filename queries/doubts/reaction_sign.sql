-- Reason: a red light has a reaction below none, and no other run has. A red light above none: the minus sign is lost,
--         where the car's other red lights are below, or where it has no other; who writes two of them without has the
--         habit, and who counts from the last amber (0.400 or 0.500 is perfect) has no sign to lose. A reaction below
--         none on a run of which no red light is noted: the sign is a slip, where it is noted of the others, as an
--         outcome or by a word that no run with a reaction above none has.
-- Severity: questioned. Suggests: the same with the other sign.
-- Reads: typed_timeslips, written
-- Needs: typed_timeslips
insert into findings
with runs as (
    select file, sheet, row, car, reaction_s, coalesce(outcome, 'clean') as outcome, lower(notes) as notes
    from typed_timeslips
    where coalesce(outcome, 'clean') in ('clean', 'red light') and reaction_s is not null
),

told as (
    select
        *,
        outcome = 'red light'
        or (notes is not null and notes not in (select notes from runs where reaction_s >= 0 and notes is not null)) as is_told
    from runs
),

starts as (
    select
        file, sheet, row, reaction_s, outcome = 'red light' as is_red, is_told,
        count(*) filter (where reaction_s < 0 and outcome = 'red light') over by_car as red_below,
        count(*) filter (where reaction_s > 0 and outcome = 'red light') over by_car as red_above,
        count(*) filter (where reaction_s < 0 and is_told) over by_car as told_below,
        count(*) filter (where reaction_s < 0 and not is_told) over by_car as other_below
    from told
    window by_car as (partition by car)
)

select
    file, sheet, row, 'reaction_s', written(reaction_s, 3),
    if(
        is_red,
        'A red light has a reaction below none. Is the minus sign lost?',
        'Only a red light has a reaction below none, and none is noted here. Is the minus sign a slip?'
    ),
    written(-reaction_s, 3), 'questioned', 'reaction_sign'
from starts
where
    (is_red and reaction_s between 0.0001 and 0.3 and (red_below * 2 >= red_above or red_above = 1))
    or (not is_told and reaction_s between -0.3 and -0.0001 and told_below > 0 and other_below <= told_below + 1);
