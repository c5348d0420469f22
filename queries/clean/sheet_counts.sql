-- Purpose: what became of every row: read = kept + questioned + rejected + set_aside.
-- Grain: one row per sheet that could be read.
insert into sheet_counts
with all_rows as (
    select sheet_no, file, sheet, "row", set_aside is not null as is_aside
    from rows_timeslips
    union all
    select sheet_no, file, sheet, "row", set_aside is not null as is_aside
    from rows_weather
    union all
    select sheet_no, file, sheet, "row", set_aside is not null as is_aside
    from rows_track
    union all
    select sheet_no, file, sheet, "row", set_aside is not null as is_aside
    from rows_setups
    union all
    select sheet_no, file, sheet, "row", set_aside is not null as is_aside
    from rows_checks
),

judged as (
    select
        all_rows.sheet_no,
        case
            when all_rows.is_aside or marks.fate in ('merged', 'left out') then 'set_aside'
            when marks.fate = 'rejected' then 'rejected'
            when len(marks.questioned) > 0 then 'questioned'
            else 'kept'
        end as fate
    from all_rows
    left join row_marks as marks
        on all_rows.file = marks.file and all_rows.sheet = marks.sheet and all_rows."row" = marks."row"
),

counted as (
    select
        sheet_no,
        count(*) as "read",
        count(*) filter (where fate = 'kept') as kept,
        count(*) filter (where fate = 'questioned') as questioned,
        count(*) filter (where fate = 'rejected') as rejected,
        count(*) filter (where fate = 'set_aside') as set_aside
    from judged
    group by sheet_no
)

select
    sheets.file,
    sheets.sheet,
    sheets.kind,
    coalesce(counted."read", sheets."rows") as "read",
    coalesce(counted.kept, if(sheets.kind = 'answers', sheets."rows" - sheets.heading_row, 0)) as kept,
    coalesce(counted.questioned, 0) as questioned,
    coalesce(counted.rejected, 0) as rejected,
    coalesce(counted.set_aside, if(sheets.kind = 'answers', sheets.heading_row, sheets."rows")) as set_aside
from current_sheets as sheets
left join counted using (sheet_no)
order by sheets.sheet_no;
