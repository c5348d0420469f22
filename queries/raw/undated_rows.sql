-- Purpose: data rows whose date is missing or could not be read, with the date last written above them.
-- is_custom: the sheet writes a date once and leaves the rows below it blank (3 rows at least, and 3 in 10),
-- or it does so here, three rows or more below one date.
-- Grain: one row per such row. Key: sheet_no, row.
create or replace temp table undated_rows as
with undated_sheets as (
{% for table in sheets %}
    select distinct sheet_no
    from rows_{{ table.name }}
    where "day" is null and set_aside is null
    {{ 'union all' if not loop.last }}
{% endfor %}
),

data_rows as (
{% for table in sheets %}
    select
        sheet_no, file, sheet, "row", "day", undated[1] as date_text,
        ({{ table.measured | map(attribute='name') | join(' is not null or ') }} is not null) as is_measured
    from rows_{{ table.name }}
    where set_aside is null and sheet_no in (select sheet_no from undated_sheets)
    {{ 'union all' if not loop.last }}
{% endfor %}
),

shares as (
    select
        sheet_no,
        count(*) filter (where "day" is null and date_text is null) >= greatest(3, 0.3 * count(*)) as is_custom
    from data_rows
    group by sheet_no
),

undated as (
    select data_rows.*, shares.is_custom
    from data_rows
    inner join shares using (sheet_no)
    where data_rows."day" is null
)

select
    undated.sheet_no,
    undated.file,
    undated.sheet,
    undated."row",
    undated.date_text,
    undated.is_measured,
    undated.is_custom or count(*) filter (where undated.date_text is null)
        over (partition by undated.sheet_no, dated."row") >= 3 as is_custom,
    dated."day" as day_above
from undated
asof left join (select sheet_no, "row", "day" from data_rows where "day" is not null) as dated
    on undated.sheet_no = dated.sheet_no and undated."row" >= dated."row";
