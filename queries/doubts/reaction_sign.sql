-- Reason: a red light with a reaction above none, where the car's other red lights are below, or where it has no
--         other: the minus sign is lost. Who writes two of them without has the habit, and who counts from the last
--         amber (0.400 or 0.500 is perfect) has no sign to lose.
-- Severity: questioned. Suggests: the same below none.
-- Reads: typed_timeslips, written
-- Needs: typed_timeslips
insert into findings
with reds as (
    select
        file, sheet, row, reaction_s,
        count(*) filter (where reaction_s < 0) over (partition by car) as below,
        count(*) filter (where reaction_s > 0) over (partition by car) as above
    from typed_timeslips
    where outcome = 'red light' and reaction_s is not null
)

select
    file, sheet, row, 'reaction_s', written(reaction_s, 3),
    'A red light has a reaction below none. Is the minus sign lost?',
    written(-reaction_s, 3), 'questioned', 'reaction_sign'
from reds
where reaction_s between 0.0001 and 0.3 and (below * 2 >= above or above = 1);
