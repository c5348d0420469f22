-- Purpose: the data rows of every current track sheet, each value in its canonical unit.
-- A reading without a time stands at noon.
-- Grain: one row per data row. Key: reading_id, which follows the order of sheets and rows.
create or replace view typed_track as
select
    sheet_no::bigint * 100000000 + "row" as reading_id,
    file,
    sheet,
    "row",
    venue,
    "day" + to_seconds(coalesce(clock_s, 43200)) as read_at,
    lane,
    track_temp_degf,
    notes,
    clock_s
from rows_track
where set_aside is null;
