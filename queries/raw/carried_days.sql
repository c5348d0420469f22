-- Purpose: where a sheet writes a date once and leaves the rows below it blank, carry it down.
-- Grain: one row per row so dated.
create or replace temp table mended_cells as
select
    sheet_no,
    "row",
    'date' as "column",
    null::double as number,
    null::double[] as several,
    day_above as "day",
    null::integer as clock_s
from undated_rows
where is_custom and date_text is null and day_above is not null;
