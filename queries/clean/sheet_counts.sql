-- Purpose: what became of every row: read = kept + questioned + rejected + set_aside.
-- Grain: one row per sheet that could be read.
insert into sheet_counts
with counted as (
{% for table in sheets %}
    select sheet_no, count(*) as "read", count(set_aside) as set_aside
    from rows_{{ table.name }}
    group by sheet_no
    {{ 'union all' if not loop.last }}
{% endfor %}
),

data_rows as (
{% for table in sheets %}
    select sheet_no, "row"
    from rows_{{ table.name }}
    where set_aside is null
    {{ 'union all' if not loop.last }}
{% endfor %}
),

marked as (
    select
        data_rows.sheet_no,
        count(*) filter (where marks.fate in ('merged', 'left out')) as out,
        count(*) filter (where marks.fate = 'rejected') as rejected,
        count(*) filter (where marks.fate is null and len(marks.questioned) > 0) as questioned
    from row_marks as marks
    inner join current_sheets as sheets using (file, sheet)
    inner join data_rows on sheets.sheet_no = data_rows.sheet_no and marks."row" = data_rows."row"
    group by data_rows.sheet_no
),

fates as (
    select
        counted.sheet_no,
        counted."read",
        coalesce(marked.questioned, 0) as questioned,
        coalesce(marked.rejected, 0) as rejected,
        counted.set_aside + coalesce(marked.out, 0) as set_aside
    from counted
    left join marked using (sheet_no)
)

select
    sheets.file,
    sheets.sheet,
    sheets.kind,
    coalesce(fates."read", sheets."rows") as "read",
    case
        when fates."read" is not null then fates."read" - fates.questioned - fates.rejected - fates.set_aside
        when sheets.kind = 'answers' then sheets."rows" - sheets.heading_row
        else 0
    end as kept,
    coalesce(fates.questioned, 0) as questioned,
    coalesce(fates.rejected, 0) as rejected,
    coalesce(fates.set_aside, if(sheets.kind = 'answers', sheets.heading_row, sheets."rows")) as set_aside
from current_sheets as sheets
left join fates using (sheet_no)
order by sheets.sheet_no;
