-- Purpose: how many decimals the sheets of those slips write in each column, as typed: so many do for nineteen of
--          twenty rows; of a sheet of few rows all of its file tell. What no slip can hold tells nothing: its point is lost.
-- Grain: one row per suspect slip and number. Key: slip_id, column.
-- Reads: slip_columns, suspects
with cells as (
    unpivot (
        select file, sheet, {{ timeslips.of_role('ticket') | map(attribute='name') | join(', ') }}
        from typed_timeslips
        where file in (select file from suspects)
    )
    on {{ timeslips.of_role('ticket') | map(attribute='name') | join(', ') }}
    into name "column" value value
),

typed as (
    select c.file, c.sheet, c."column", (c.value - coalesce(s.shift, 0)) / coalesce(s.factor, 1) as number
    from cells as c
    join slip_columns as k on k."column" = c."column" and c.value between k.low and k.high
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
    group by grouping sets ((file, sheet, "column"), (file, "column"))
    having count(*) >= 8
)

select s.slip_id, h."column", arg_max(h.decimals, h.sheet is not null) as decimals
from suspects as s
join habits as h on h.file = s.file and coalesce(h.sheet, s.sheet) = s.sheet
group by all;
