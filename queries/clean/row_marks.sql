-- Purpose: what questions and answers mean for a row. Grain: one row per row with a question or an answer.
-- Reads the tables answered (answers as values) and doubles (rows merged into another).
create or replace table row_marks as
with named as (
    select
        questions.file,
        questions.sheet,
        questions."row",
        questions.severity,
        questions.answer is null as is_open,
        case when questions."rule" = 'am_pm_slip' then try_cast(questions.suggestion as time) end as likely_clock,
        case
            when questions."column" not in ('date', 'time') then questions."column"
            -- a run of a known day keeps the day; a slip that may be a copy of another waits whole
            when sheets.kind = 'timeslips' and questions."column" = 'time' and questions."rule" <> 'copied_slip'
                then 'time'
{% for table in sheets %}
            when sheets.kind = '{{ table.name }}' then '{{ table.moment }}'
{% endfor %}
        end as "column"
    from questions
    inner join current_sheets as sheets using (file, sheet)
),

asked as (
    select
        file,
        sheet,
        "row",
        list_sort(list(distinct "column") filter (where is_open and severity = 'questioned')) as questioned,
        coalesce(bool_or(is_open and severity = 'rejected'), false) as is_rejected,
        cast(epoch(max(likely_clock) filter (where is_open)) as integer) as likely_clock_s
    from named
    group by file, sheet, "row"
),

settled as (
    select
        file,
        sheet,
        "row",
        coalesce(bool_or(is_left_out), false) as is_left_out,
        max("day") as "day",
        max(clock_s) as clock_s,
        map_from_entries(list({'key': "column", 'value': number}) filter (where is_number)) as numbers,
        map_from_entries(list({'key': "column", 'value': words}) filter (where is_words)) as words,
        map_from_entries(list({'key': "column", 'value': several}) filter (where is_number)) as lists
    from answered
    group by file, sheet, "row"
),

merged as (
    select distinct file, sheet, "row", true as is_merged
    from doubles
),

joined as (
    select
        *,
        case
            when is_merged then 'merged'
            when is_left_out then 'left out'
            when is_rejected then 'rejected'
        end as fate
    from asked
    full join settled using (file, sheet, "row")
    full join merged using (file, sheet, "row")
)

select
    file,
    sheet,
    "row",
    if(len(questioned) > 0, questioned, null) as questioned,
    fate,
    fate is not null as is_out,
    "day",
    clock_s,
    likely_clock_s,
    numbers,
    words,
    lists
from joined;
