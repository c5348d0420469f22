-- Purpose: data rows whose date is missing or could not be read, with the date last written above them.
-- is_custom: the sheet writes a date once and leaves the rows below it blank (3 rows at least, and 3 in 10).
-- Grain: one row per such row. Key: sheet_no, row.
create or replace temp table undated_rows as
with data_rows as (
    select sheet_no, file, sheet, "row", "day", undated[1] as date_text, coalesce(reaction_s::varchar, t60_s::varchar, t330_s::varchar, t660_s::varchar, v660_mph::varchar, t1000_s::varchar, t1320_s::varchar, v1320_mph::varchar, launch_rpm::varchar, track_temp_degf::varchar, preload_turns::varchar, counterweight_g::varchar, tire_pressure_psi::varchar, outcome::varchar) is not null as is_measured
    from rows_timeslips
    where set_aside is null
    union all
    select sheet_no, file, sheet, "row", "day", undated[1] as date_text, coalesce(air_temp_degf, pressure_inhg, humidity_pct, dew_point_degf, wet_bulb_degf, grains, wind_speed_mph) is not null as is_measured
    from rows_weather
    where set_aside is null
    union all
    select sheet_no, file, sheet, "row", "day", undated[1] as date_text, coalesce(track_temp_degf) is not null as is_measured
    from rows_track
    where set_aside is null
    union all
    select sheet_no, file, sheet, "row", "day", undated[1] as date_text, coalesce(preload_turns, counterweight_g, launch_rpm, tire_pressure_psi) is not null as is_measured
    from rows_setups
    where set_aside is null
    union all
    select sheet_no, file, sheet, "row", "day", undated[1] as date_text, coalesce(ring_height_in, shim_removed_in, bearing_clearance_in, disc_thickness_in) is not null as is_measured
    from rows_checks
    where set_aside is null
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
    undated.is_custom,
    dated."day" as day_above
from undated
asof left join (select sheet_no, "row", "day" from data_rows where "day" is not null) as dated
    on undated.sheet_no = dated.sheet_no and undated."row" >= dated."row";
