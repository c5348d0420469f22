-- Purpose: data rows whose date is missing or could not be read, with the date last written above them.
-- is_custom: the sheet writes a date once and leaves the rows below it blank (3 rows at least, and 3 in 10).
-- Grain: one row per such row. Key: sheet_no, row.
create or replace temp table undated_rows as
with undated_sheets as (
    select distinct sheet_no
    from rows_timeslips
    where "day" is null and set_aside is null
    union all
    select distinct sheet_no
    from rows_weather
    where "day" is null and set_aside is null
    union all
    select distinct sheet_no
    from rows_track
    where "day" is null and set_aside is null
    union all
    select distinct sheet_no
    from rows_setups
    where "day" is null and set_aside is null
    union all
    select distinct sheet_no
    from rows_checks
    where "day" is null and set_aside is null
),

data_rows as (
    select
        sheet_no, file, sheet, "row", "day", undated[1] as date_text,
        (reaction_s is not null or t60_s is not null or t330_s is not null or t660_s is not null or v660_mph is not null or t1000_s is not null or t1320_s is not null or v1320_mph is not null or launch_rpm is not null or track_temp_degf is not null or preload_turns is not null or counterweight_g is not null or tire_pressure_psi is not null or outcome is not null) as is_measured
    from rows_timeslips
    where set_aside is null and sheet_no in (select sheet_no from undated_sheets)
    union all
    select
        sheet_no, file, sheet, "row", "day", undated[1] as date_text,
        (air_temp_degf is not null or pressure_inhg is not null or humidity_pct is not null or dew_point_degf is not null or wet_bulb_degf is not null or grains is not null or wind_speed_mph is not null) as is_measured
    from rows_weather
    where set_aside is null and sheet_no in (select sheet_no from undated_sheets)
    union all
    select
        sheet_no, file, sheet, "row", "day", undated[1] as date_text,
        (track_temp_degf is not null) as is_measured
    from rows_track
    where set_aside is null and sheet_no in (select sheet_no from undated_sheets)
    union all
    select
        sheet_no, file, sheet, "row", "day", undated[1] as date_text,
        (preload_turns is not null or counterweight_g is not null or launch_rpm is not null or tire_pressure_psi is not null) as is_measured
    from rows_setups
    where set_aside is null and sheet_no in (select sheet_no from undated_sheets)
    union all
    select
        sheet_no, file, sheet, "row", "day", undated[1] as date_text,
        (ring_height_in is not null or shim_removed_in is not null or bearing_clearance_in is not null or disc_thickness_in is not null) as is_measured
    from rows_checks
    where set_aside is null and sheet_no in (select sheet_no from undated_sheets)
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
