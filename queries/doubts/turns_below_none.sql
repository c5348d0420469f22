-- Reason: turns below none, in a book whose other turns are above: the sign is a slip, or less was meant by it.
-- Severity: questioned. Suggests: the same turns without the sign.
-- Reads: judged_settings, written
-- Needs: judged_settings
insert into findings
with cars as (
    select car, count(*) filter (where value >= 0) as above, count(*) filter (where value < 0) as below
    from judged_settings
    where "column" = 'preload_turns'
    group by car
)

select
    file, sheet, row, "column", written(value, null),
    'Turns below none, where every other entry is above. Is it the sign, or so much less than before?',
    written(-value, null), 'questioned', 'turns_below_none'
from judged_settings
join cars using (car)
where "column" = 'preload_turns' and value < 0 and above >= 3 and below <= above / 3;
