-- Reason: turns or counterweight below none, in a book whose others are above: the sign is a slip, or less was meant
--         by it.
-- Severity: questioned. Suggests: the same without the sign.
-- Reads: judged_settings, written
-- Needs: judged_settings
insert into findings
with cars as (
    select car, "column", count(*) filter (where value >= 0) as above, count(*) filter (where value < 0) as below
    from judged_settings
    where "column" in ('preload_turns', 'counterweight_g')
    group by car, "column"
)

select
    file, sheet, row, "column", written(value),
    if("column" = 'preload_turns', 'Turns', 'Counterweight') || ' below none, where every other entry is above. Is it the sign, or so much less than before?',
    written(-value), 'questioned', 'turns_below_none'
from judged_settings
join cars using (car, "column")
where value < 0 and ((above >= 3 and below <= above / 3) or (width is not null and usual > 0));
