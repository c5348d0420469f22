-- Purpose: read the text cells of one weather sheet: plain numbers, ISO dates and 24-hour times here;
-- whatever else stands in a cell is kept in odd for the careful reading.
-- Grain: one row per row of the sheet. Reads the view sheet_cells (canonical columns as text).
insert into rows_weather by name
with read_cells as (
    select
        *,
        iso_day("date", try_cast("date" as date)) as "day",
        clock_seconds("time", try_cast("time" as time)) as clock_s,
        plain_number(air_temp_degf, $air_temp_degf_factor, $air_temp_degf_offset) as air_temp_degf_read,
        plain_number(pressure_inhg, $pressure_inhg_factor, $pressure_inhg_offset) as pressure_inhg_read,
        plain_number(humidity_pct, $humidity_pct_factor, $humidity_pct_offset) as humidity_pct_read,
        plain_number(dew_point_degf, $dew_point_degf_factor, $dew_point_degf_offset) as dew_point_degf_read,
        plain_number(wet_bulb_degf, $wet_bulb_degf_factor, $wet_bulb_degf_offset) as wet_bulb_degf_read,
        plain_number(grains, $grains_factor, $grains_offset) as grains_read,
        plain_number(wind_speed_mph, $wind_speed_mph_factor, $wind_speed_mph_offset) as wind_speed_mph_read
    from sheet_cells
),

judged as (
    select
        *,
        case
            when
                ("day" is null and "date" <> '')
                or (clock_s is null and "time" <> '')
                or (air_temp_degf_read is null and air_temp_degf <> '')
                or (pressure_inhg_read is null and pressure_inhg <> '')
                or (humidity_pct_read is null and humidity_pct <> '')
                or (dew_point_degf_read is null and dew_point_degf <> '')
                or (wet_bulb_degf_read is null and wet_bulb_degf <> '')
                or (grains_read is null and grains <> '')
                or (wind_speed_mph_read is null and wind_speed_mph <> '')
                or spill <> ''
                then true
            else false
        end as is_odd_row
    from read_cells
)

select
    $sheet_no as sheet_no,
    $file as file,
    $sheet as sheet,
    line as "row",
    "day",
    clock_s,
    or_only(tidy(venue), $only_venue) as venue,
    tidy(pressure_kind) as pressure_kind,
    coalesce(tidy(wind_from), if(wind_speed_mph_read is null, wind_side(wind_speed_mph), null)) as wind_from,
    tidy(notes) as notes,
    air_temp_degf_read as air_temp_degf,
    pressure_inhg_read as pressure_inhg,
    humidity_pct_read as humidity_pct,
    dew_point_degf_read as dew_point_degf,
    wet_bulb_degf_read as wet_bulb_degf,
    grains_read as grains,
    wind_speed_mph_read as wind_speed_mph,
    case
        when is_odd_row then list_filter(
            [
                {'column': 'date', 'text': case when "day" is null then "date" end},
                {'column': 'time', 'text': case when clock_s is null then "time" end},
                {'column': 'air_temp_degf', 'text': case when air_temp_degf_read is null then air_temp_degf end},
                {'column': 'pressure_inhg', 'text': case when pressure_inhg_read is null then pressure_inhg end},
                {'column': 'humidity_pct', 'text': case when humidity_pct_read is null then humidity_pct end},
                {'column': 'dew_point_degf', 'text': case when dew_point_degf_read is null then dew_point_degf end},
                {'column': 'wet_bulb_degf', 'text': case when wet_bulb_degf_read is null then wet_bulb_degf end},
                {'column': 'grains', 'text': case when grains_read is null then grains end},
                {'column': 'wind_speed_mph', 'text': case when wind_speed_mph_read is null then wind_speed_mph end},
                {'column': 'spill', 'text': spill}
            ],
            lambda cell: trim(cell."text") <> ''
        )
    end as odd,
    case
        when "day" is null then [
            tidy("date"), tidy("time"), tidy(venue), tidy(pressure_kind),
            tidy(wind_from), tidy(notes), tidy(air_temp_degf), tidy(pressure_inhg),
            tidy(humidity_pct), tidy(dew_point_degf), tidy(wet_bulb_degf),
            tidy(grains), tidy(wind_speed_mph)
        ]
    end as undated
from judged;
