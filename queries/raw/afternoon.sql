-- Purpose: read as afternoons the times of a sheet on a twelve-hour clock without am or pm.
-- Grain: one row per row whose time moves by twelve hours; what is said of the sheet's times in sheet_columns.
-- Reads: sheet_columns, early_sheets
create or replace temp table afternoons as
with timed as (
    select *, clock_s + 43200 * cast(clock_s < 25200 as integer) as moved_s
    from rows_{{ of }}
    where set_aside is null and clock_s is not null
        and sheet_no in (from early_sheets)
),

neighbours as (
    select
        *,
        max(moved_s) over (
            partition by sheet_no, "day" order by "row" rows between unbounded preceding and 1 preceding
        ) as latest_above_s,
        max(moved_s) over (
            partition by sheet_no, "day" order by "row" rows between 1 following and unbounded following
        ) as latest_below_s,
        moved_s - lag(moved_s) over (partition by sheet_no, "day" order by "row") as later_s
    from timed
),

ordered as (
    select *, avg(sign(later_s)) over (partition by sheet_no) < 0 as is_newest_first
    from neighbours
)

select sheet_no, file, sheet, "row"
from ordered
where clock_s < 25200
    or (clock_s < 43200 and coalesce(if(is_newest_first, latest_below_s, latest_above_s), 0) >= 46800);

update rows_{{ of }}
set clock_s = clock_s + 43200
from afternoons
where rows_{{ of }}.sheet_no = afternoons.sheet_no and rows_{{ of }}."row" = afternoons."row";

update sheet_columns
set why = 'times from 1 to 7 o''clock are read as afternoon, as none of the sheet is past 13:00'
where "column" = 'time' and (file, sheet) in (select file, sheet from afternoons);
