-- Purpose: numbers in which a slip that repeats an earlier one does not agree with it.
-- Grain: one row per number of a repeating slip. Key: slip_id, column.
-- Reads: doubles, typed_timeslips
-- Needs: doubles
create or replace temp table unlike_doubles as
with numbers as (
    unpivot (
        select
            slip_id, {{ timeslips.numbers | join(', ', attribute='name') }}
        from typed_timeslips
        where slip_id in (select slip_id from doubles union all select first_id from doubles)
    )
    on * exclude (slip_id)
    into name "column" value value
)

select d.*, b."column", a.value as first_value, b.value
from doubles as d
join numbers as b on b.slip_id = d.slip_id
left join numbers as a on a.slip_id = d.first_id and a."column" = b."column"
where a.value is distinct from b.value;
