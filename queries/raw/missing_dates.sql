-- Purpose: data rows without any date, as cells with a problem. Grain: one row per row.
insert into bad_cells by name
select
    file,
    sheet,
    "row",
    'date' as "column",
    '' as "value",
    'No date is written in this row.' as problem,
    day_above::varchar as suggestion,
    if(is_measured, 'questioned', 'rejected') as severity
from undated_rows
where date_text is null and not (is_custom and day_above is not null);
