-- Purpose: rows in which a doubtful spelling stands, as cells with a problem.
-- Grain: one row per cell. Reads the table name_doubts(column, text, problem, suggestion).
insert into bad_cells by name
select
    spelled.file,
    spelled.sheet,
    spelled."row",
    spelled."column",
    spelled."text" as "value",
    name_doubts.problem,
    name_doubts.suggestion,
    'questioned' as severity
from (
    select file, sheet, "row", 'car' as "column", car as "text"
    from rows_timeslips
    where set_aside is null and car is not null
    union all
    select file, sheet, "row", 'car' as "column", car as "text"
    from rows_setups
    where set_aside is null and car is not null
    union all
    select file, sheet, "row", 'car' as "column", car as "text"
    from rows_checks
    where set_aside is null and car is not null
    union all
    select file, sheet, "row", 'venue' as "column", venue as "text"
    from rows_timeslips
    where set_aside is null and venue is not null
    union all
    select file, sheet, "row", 'venue' as "column", venue as "text"
    from rows_weather
    where set_aside is null and venue is not null
    union all
    select file, sheet, "row", 'venue' as "column", venue as "text"
    from rows_track
    where set_aside is null and venue is not null
    union all
    select file, sheet, "row", 'pressure_kind' as "column", pressure_kind as "text"
    from rows_weather
    where set_aside is null and pressure_kind is not null
) as spelled
inner join name_doubts using ("column", "text");
