-- Reason: a red light has a reaction below none, and no other run has. A red light above none: the minus sign is lost,
--         where the car's other red lights are below, or where it has no other; who writes two of them without has the
--         habit, and who counts from the last amber (0.400 or 0.500 is perfect) has no sign to lose. A reaction below
--         none on a run of which nothing is noted: the sign is a slip, where the others below none are mostly noted
--         as red lights.
-- Severity: questioned. Suggests: the same with the other sign.
-- Reads: typed_timeslips, written
-- Needs: typed_timeslips
insert into findings
with starts as (
    select
        file, sheet, row, reaction_s, outcome = 'red light' as is_red,
        count(*) filter (where reaction_s < 0 and outcome = 'red light') over by_car as red_below,
        count(*) filter (where reaction_s > 0 and outcome = 'red light') over by_car as red_above,
        count(*) filter (where reaction_s < 0 and outcome <> 'red light') over by_car as other_below
    from (
        select file, sheet, row, car, reaction_s, coalesce(outcome, 'clean') as outcome
        from typed_timeslips
        where coalesce(outcome, 'clean') in ('clean', 'red light') and reaction_s is not null
    )
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
    or (not is_red and reaction_s between -0.3 and -0.0001 and other_below <= red_below);
