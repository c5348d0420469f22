-- Purpose: how many decimals the sheets of those slips write in each column, as typed: so many do for nineteen of
--          twenty rows. Grain: one row per suspect slip and number. Key: slip_id, column.
with cells as (
    unpivot (
        select file, sheet, {{ timeslips.of_role('ticket') | map(attribute='name') | join(', ') }}
        from typed_timeslips
        where (file, sheet) in (select (file, sheet) from suspects)
    )
    on {{ timeslips.of_role('ticket') | map(attribute='name') | join(', ') }}
    into name "column" value value
),

typed as (
    select c.file, c.sheet, c."column", (c.value - coalesce(s.shift, 0)) / coalesce(s.factor, 1) as number
    from cells as c
    left join sheet_columns as s
        on s.file = c.file and s.sheet = c.sheet and s."column" = c."column"
),

habits as (
    select
        file, sheet, "column",
        quantile_disc(case
            when abs(number - round(number)) < 1e-5 then 0
            when abs(number * 1e1 - round(number * 1e1)) < 1e-4 then 1
            when abs(number * 1e2 - round(number * 1e2)) < 1e-3 then 2
            when abs(number * 1e3 - round(number * 1e3)) < 1e-2 then 3
            else 4
        end, 0.95) as decimals
    from typed
    group by all
    having count(*) >= 8
)

select s.slip_id, h."column", h.decimals
from suspects as s
join habits as h using (file, sheet);
